import { MpeZones, type Track } from '../midi/index.js';
import { toReceivers } from './receivers.js';

/** Where the channels of a file's tracks belong. */
export interface TrackZones {
  /** The channel whose part a channel 0..15 of a track plays: its zone's manager, or the channel itself. */
  managerOf(track: number, channel: number): number;
  /** The finger of that part, 1..15; 0 for the part as a whole. */
  fingerOf(track: number, channel: number): number;
  /** Whether two tracks have the same zones, or none. */
  areOne(track: number, other: number): boolean;
}

/**
 * The MPE zones of a file's tracks, by the configuration messages in them. A track with notes and such a message has zones
 * of its own; one without notes configures the others of its port. Zones hold from the start of the file to its end: of
 * several for one manager the largest.
 *
 * @example toTrackZones(tracksOf(file)).managerOf(0, 3)  // 3: no zone
 */
export function toTrackZones(tracks: readonly Track[]): TrackZones {
  const { of, count } = toReceivers(tracks);
  const zones = new Array<MpeZones | undefined>(count).fill(undefined);
  tracks.forEach(({ events }, track) => {
    const reader = new MpeZones();
    for (const event of events) {
      if (event.kind !== 'channel' || !reader.take(event.status, event.data1, event.data2)) continue;
      const manager = event.status & 0x0f;
      zones[of[track]] ??= new MpeZones();
      const its = zones[of[track]]!;
      if (event.data2 > its.membersOf(manager)) its.configure(manager, event.data2);
    }
  });
  return {
    managerOf: (track, channel) => zones[of[track]]?.managerOf(channel) ?? channel,
    fingerOf: (track, channel) => zones[of[track]]?.fingerOf(channel) ?? 0,
    areOne: (track, other) => zones[of[track]] === zones[of[other]],
  };
}
