import { META, type MidiFile, type TrackEvent } from '../../../src/core/midi/index.js';
import type { Piece } from './pieces.js';

const TICKS_PER_QUARTER = 480;

/** Pieces one after the other, from the first again when all have been played, until there are so many notes: one file. */
export function joinPieces(pieces: readonly Piece[], notes: number): MidiFile {
  const tracks: TrackEvent[][] = [];
  let [count, from] = [0, 0];
  for (let i = 0; count < notes; i++) {
    const piece = pieces[i % pieces.length];
    let end = from;
    for (const note of piece.notes) {
      if (count === notes) break;
      count += 1;
      const on = from + Math.round(note.on * TICKS_PER_QUARTER);
      const off = from + Math.round(note.off * TICKS_PER_QUARTER);
      end = Math.max(end, off);
      tracks[note.voice] ??= [];
      const message = { kind: 'channel', data1: note.midi, data2: 64 } as const;
      const channel = note.voice < 9 ? note.voice : note.voice + 1;
      tracks[note.voice].push({ ...message, tick: on, status: 0x90 | channel });
      tracks[note.voice].push({ ...message, tick: off, status: 0x80 | channel });
    }
    from = end + TICKS_PER_QUARTER;
  }
  return {
    format: 1,
    division: { kind: 'ppq', ticksPerQuarter: TICKS_PER_QUARTER },
    headerExtra: new Uint8Array(0),
    chunks: Array.from(tracks, (events = []) => {
      events.sort((a, b) => a.tick - b.tick || toOrder(a) - toOrder(b));
      const data = new Uint8Array(0);
      return {
        kind: 'track',
        events: [...events, { kind: 'meta', tick: from, type: META.endOfTrack, data }],
      };
    }),
    wrapper: 'none',
  };
}

/** What ends comes before what begins. */
const toOrder = (event: TrackEvent): number => (event.kind === 'channel' ? event.status & 0xf0 : 0);
