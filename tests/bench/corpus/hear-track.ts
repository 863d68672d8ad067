import type { TrackEvent } from '../../../src/core/midi/index.js';

/** Where a sounding note's pitch goes: from `tick` on it stands at `cents` (100 a key). */
export interface PitchPoint {
  readonly tick: number;
  readonly cents: number;
}

/** A note as a track sounds it. `pitch` has its first point at `onTick`, and goes on until the key comes up. */
export interface TrackNote {
  readonly onTick: number;
  readonly offTick: number;
  readonly key: number;
  readonly pitch: readonly PitchPoint[];
}

/** What a track sounds like by itself. */
export interface HeardTrack {
  /** In the order they are let go. */
  readonly notes: readonly TrackNote[];
  /** How many notes are never let go; they are left out. */
  readonly stuck: number;
  /** Bytes of channel messages on the wire, all three a message. */
  readonly wireBytes: number;
}

interface Sounding {
  readonly onTick: number;
  readonly key: number;
  readonly channel: number;
  readonly pitch: PitchPoint[];
}

/**
 * Listens to a track that plays over channels with pitch bend, as its bytes alone tell it: note-ons and -offs, bends, and
 * the bend range that RPN 0 gives each channel.
 */
export function hearTrack(events: readonly TrackEvent[]): HeardTrack {
  const range = new Array<number>(16).fill(2);
  const bend = new Array<number>(16).fill(8192);
  const parameter = new Array<number>(16).fill(0x3fff);
  const sounding: Sounding[] = [];
  const notes: TrackNote[] = [];
  let wireBytes = 0;
  const centsOf = (note: { key: number; channel: number }): number =>
    100 * note.key + ((bend[note.channel] - 8192) / 8192) * 100 * range[note.channel];
  for (const event of events) {
    if (event.kind !== 'channel') continue;
    wireBytes += 3;
    const { tick, status, data1, data2 } = event;
    const channel = status & 0x0f;
    const type = status & 0xf0;
    if (type === 0xb0) {
      if (data1 === 101) parameter[channel] = (parameter[channel] & 0x7f) | (data2 << 7);
      else if (data1 === 100) parameter[channel] = (parameter[channel] & 0x3f80) | data2;
      else if (data1 === 6 && parameter[channel] === 0) range[channel] = data2;
    } else if (type === 0xe0) {
      bend[channel] = data1 | (data2 << 7);
      for (const note of sounding) if (note.channel === channel) addPoint(note.pitch, tick, centsOf(note));
    } else if (type === 0x90 && data2 > 0) {
      const note: Sounding = { onTick: tick, key: data1, channel, pitch: [] };
      addPoint(note.pitch, tick, centsOf(note));
      sounding.push(note);
    } else if (type === 0x90 || type === 0x80) {
      const at = sounding.findIndex((note) => note.key === data1 && note.channel === channel);
      if (at < 0) continue;
      const [{ onTick, key, pitch }] = sounding.splice(at, 1);
      notes.push({ onTick, offTick: tick, key, pitch });
    }
  }
  return { notes, stuck: sounding.length, wireBytes };
}

function addPoint(pitch: PitchPoint[], tick: number, cents: number): void {
  if (pitch.length > 0 && pitch[pitch.length - 1].tick === tick) pitch.pop();
  if (pitch.length === 0 || pitch[pitch.length - 1].cents !== cents) pitch.push({ tick, cents });
}

/** Where a note's pitch stands at a tick; before its first point, there. */
export function centsAt({ pitch }: { readonly pitch: readonly PitchPoint[] }, tick: number): number {
  let { cents } = pitch[0];
  for (const point of pitch) {
    if (point.tick > tick) break;
    cents = point.cents;
  }
  return cents;
}
