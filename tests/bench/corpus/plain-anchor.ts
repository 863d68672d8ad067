import type { PitchPoint } from './hear-track.js';
import type { HeardNote, Performance } from './heard.js';

/**
 * The same performance anchored in the plainest way: at each strike everything that sounds moves, at once and without a
 * glide, by the least that brings its mean inside the band around 12 equal. The first strike stands at home.
 *
 * @param performance one that drifts freely: one pitch a note
 * @param leewayCents half the width of the band
 */
export function anchorPlainly(performance: Performance, leewayCents: number): Performance {
  const notes = performance.notes.map((note) => ({ note, pitch: [] as PitchPoint[] }));
  const strikes = [...new Set(performance.notes.map(({ onTick }) => onTick))].sort((a, b) => a - b);
  let offset = 0;
  for (const tick of strikes) {
    const sounding = notes.filter(({ note }) => note.onTick <= tick && note.offTick > tick);
    if (sounding.length === 0) continue;
    const mean = sounding.reduce((sum, { note }) => sum + deviationOf(note), 0) / sounding.length;
    const band = tick === strikes[0] ? 0 : leewayCents;
    const body = mean + offset;
    const move = Math.max(-band, Math.min(band, body)) - body;
    offset += move;
    for (const { note, pitch } of sounding) {
      const cents = note.pitch[0].cents + offset;
      if (note.onTick === tick || move !== 0) pitch.push({ tick, cents });
    }
  }
  const moved = notes.flatMap(({ note, pitch }) => (pitch.length === 0 ? [] : [{ ...note, pitch }]));
  return { ...performance, notes: moved, strikes: moved };
}

const deviationOf = ({ pitch, written }: HeardNote): number => pitch[0].cents - 100 * written.midi;
