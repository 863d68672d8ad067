import { CONTROL_CHANGE, isNoteOn, type Track } from '../midi/index.js';

/** Channel 10 in words: percussion, which has no pitch to tune. */
export const PERCUSSION_CHANNEL = 9;

/** One stream of playing in a file: the notes of a channel, within one track or across all of them. */
export interface Part {
  readonly index: number;
  /** Index of its track; -1 when parts go by channel alone. */
  readonly track: number;
  readonly channel: number;
}

/** The parts of a file, and which of them a channel message is for. */
export interface PartMap {
  readonly parts: readonly Part[];
  /** The part of a note; undefined for percussion. */
  partOf(track: number, channel: number): number | undefined;
  /** The parts a controller, program change, pressure or bend is for. Empty when nobody plays on that channel. */
  listenersOf(track: number, channel: number, status: number, data1: number): readonly number[];
}

/** Parts that belong to one track each. */
export interface TrackPartMap extends PartMap {
  /** The channels on which a track has any message, percussion too: a bit each. */
  channelsIn(track: number): number;
}

/**
 * Parts by channel, as one port would play them: a message's track doesn't matter. Parts are counted from 0. Can't
 * fail; a file without notes has none.
 */
export function toPartsByChannel(tracks: readonly Track[]): PartMap {
  const byChannel = new Array<number | undefined>(16).fill(undefined);
  const parts: Part[] = [];
  for (const { events } of tracks) {
    for (const event of events) {
      if (event.kind !== 'channel') continue;
      const channel = event.status & 0x0f;
      if (channel === PERCUSSION_CHANNEL || byChannel[channel] !== undefined) continue;
      byChannel[channel] = parts.length;
      parts.push({ index: parts.length, track: -1, channel });
    }
  }
  const listeners = byChannel.map((part) => (part === undefined ? [] : [part]));
  return {
    parts,
    partOf: (_track, channel) => byChannel[channel],
    listenersOf: (_track, channel) => listeners[channel],
  };
}

/**
 * Parts by track and channel, as a studio plays them: each track on a separate instrument.
 *
 * In a file meant for one port every track that uses a channel shares it: a program change in the first track holds for
 * notes in the third. So a message goes to the part of its own track, and to each other part of its channel whose own
 * track has no message of that kind.
 */
export function toPartsByTrack(tracks: readonly Track[]): TrackPartMap {
  const parts: Part[] = [];
  const slots = new Int32Array(16 * tracks.length).fill(NOBODY);
  const kinds = new Map<number, Set<number>>();
  const channels = tracks.map(({ events }, track) => {
    let heard = 0;
    for (const event of events) {
      if (event.kind !== 'channel') continue;
      const channel = event.status & 0x0f;
      heard |= 1 << channel;
      if (channel === PERCUSSION_CHANNEL) continue;
      const slot = toSlot(track, channel);
      if (isNote(event.status)) {
        // Notes are for their own part only.
        if (slots[slot] !== NOBODY || !isNoteOn(event.status, event.data2)) continue;
        slots[slot] = parts.length;
        parts.push({ index: parts.length, track, channel });
        continue;
      }
      const said = kinds.get(slot) ?? new Set<number>();
      kinds.set(slot, said.add(toKind(event.status, event.data1)));
    }
    return heard;
  });
  const onChannel = Array.from({ length: 16 }, (_, channel) =>
    parts.filter((part) => part.channel === channel),
  );
  const known = new Map<number, readonly number[]>();
  return {
    parts,
    channelsIn: (track) => channels[track],
    partOf(track, channel) {
      const part = slots[toSlot(track, channel)];
      return part === NOBODY ? undefined : part;
    },
    listenersOf(track, channel, status, data1) {
      const kind = toKind(status, data1);
      const question = toSlot(track, channel) * 0x1000 + kind;
      let answer = known.get(question);
      if (answer === undefined) {
        answer = onChannel[channel]
          .filter((part) => part.track === track || !kinds.get(toSlot(part.track, channel))?.has(kind))
          .map((part) => part.index);
        known.set(question, answer);
      }
      return answer;
    },
  };
}

/** Marks a channel without notes. */
const NOBODY = -1;

function isNote(status: number): boolean {
  return (status & 0xe0) === 0x80;
}

function toSlot(track: number, channel: number): number {
  return track * 16 + channel;
}

/** What a message sets: its type, and for a controller its number. */
function toKind(status: number, data1: number): number {
  const type = status & 0xf0;
  return type === CONTROL_CHANGE ? type * 8 + data1 : type * 8;
}
