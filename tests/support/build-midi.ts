import { formatMidiFile, META, type MidiFile, type TrackEvent } from '../../src/core/midi/index.js';

/** A note: first beat and end, counted in quarter notes from 0, and its key. */
export type BuiltNote = readonly [start: number, end: number, key: number];

const TICKS_PER_QUARTER = 480;

/** A file of one track on channel 1, in 4/4 at 120 a minute. Note-offs come before note-ons of the same tick. */
export function buildMidi(notes: readonly BuiltNote[]): MidiFile {
  const events: TrackEvent[] = notes.flatMap(([start, end, key]) => [
    { kind: 'channel', tick: start * TICKS_PER_QUARTER, status: 0x90, data1: key, data2: 80 },
    { kind: 'channel', tick: end * TICKS_PER_QUARTER, status: 0x80, data1: key, data2: 64 },
  ]);
  events.sort((a, b) => a.tick - b.tick || toOrder(a) - toOrder(b));
  const tick = events.at(-1)?.tick ?? 0;
  events.push({ kind: 'meta', tick, type: META.endOfTrack, data: new Uint8Array(0) });
  return {
    format: 0,
    division: { kind: 'ppq', ticksPerQuarter: TICKS_PER_QUARTER },
    headerExtra: new Uint8Array(0),
    chunks: [{ kind: 'track', events }],
    wrapper: 'none',
  };
}

/** The bytes of {@link buildMidi}. */
export function buildMidiBytes(notes: readonly BuiltNote[]): Uint8Array {
  return formatMidiFile(buildMidi(notes));
}

/** C, a, d, G, C with every common tone tied: pure all through, it comes back one syntonic comma lower. */
export const PUMP: readonly BuiltNote[] = [
  [0, 8, 60],
  [0, 8, 64],
  [0, 4, 67],
  [4, 12, 69],
  [8, 16, 62],
  [8, 12, 65],
  [12, 20, 67],
  [12, 16, 71],
  [16, 20, 60],
  [16, 20, 64],
];

const toOrder = (event: TrackEvent): number => (event.kind === 'channel' ? event.status : 0);
