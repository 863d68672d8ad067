import type { TrackRole } from '../../src/app/track-roles.js';
import type { MidiFile, Track, TrackEvent } from '../../src/core/midi/index.js';
import { ascii, fileOf } from './midi-bytes.js';

/** The keys of an instrument in 12 equal. */
export const EQUAL: readonly number[] = new Array<number>(12).fill(0);

/** A track of a choir: its name, and a note a bar. */
export function voice(name: string, channel: number, keys: readonly number[]): Track {
  const title: TrackEvent = { kind: 'meta', tick: 0, type: 3, data: ascii(name) };
  const notes = keys.flatMap((data1, i): TrackEvent[] => [
    { kind: 'channel', tick: 384 * i, status: 0x90 | channel, data1, data2: 80 },
    { kind: 'channel', tick: 384 * (i + 1), status: 0x80 | channel, data1, data2: 64 },
  ]);
  const end: TrackEvent = { kind: 'meta', tick: 384 * keys.length, type: 0x2f, data: new Uint8Array(0) };
  return { kind: 'track', events: [title, ...notes, end] };
}

/** C, a, d, G, C: it falls a comma where nothing holds it. */
export const CHOIR: MidiFile = {
  ...fileOf([]),
  format: 1,
  chunks: [
    voice('Upper', 0, [72, 72, 69, 71, 72]),
    voice('Middle', 1, [64, 64, 65, 67, 67]),
    voice('Bass', 3, [48, 45, 50, 43, 48]),
  ],
};
/** Its bass, on an instrument in 12 equal. */
export const BASS: TrackRole = { name: 'bass', role: 'fixed', fixedCents: EQUAL };
