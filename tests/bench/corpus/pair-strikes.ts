import type { TrackNote } from './hear-track.js';
import type { HeardNote } from './heard.js';
import type { WrittenNote } from './pieces.js';

/** A note heard so few ticks from where it is written is the one. */
const WITHIN_TICKS = 2;
/** Where numbers differ: so many keys apart. */
const WITHIN_KEYS = 6;

/**
 * Pairs all notes of a score with what was heard, whatever track they came from: those of one time from the lowest up,
 * and where some are missing each with the nearest key that is left.
 */
export function pairStrikes(
  written: readonly WrittenNote[],
  heard: readonly TrackNote[],
  ticksPerQuarter: number,
): HeardNote[] {
  const byTick = new Map<number, TrackNote[]>();
  for (const note of heard) byTick.set(note.onTick, [...(byTick.get(note.onTick) ?? []), note]);
  const strikes = new Map<number, WrittenNote[]>();
  for (const note of written.slice().sort((a, b) => a.on - b.on || a.midi - b.midi)) {
    const tick = Math.round(note.on * ticksPerQuarter);
    strikes.set(tick, [...(strikes.get(tick) ?? []), note]);
  }
  const used = new Set<TrackNote>();
  return [...strikes].flatMap(([tick, notes]) => {
    const found: TrackNote[] = [];
    for (let at = tick - WITHIN_TICKS; at <= tick + WITHIN_TICKS; at++)
      found.push(...(byTick.get(at) ?? []).filter((note) => !used.has(note)));
    found.sort((a, b) => a.pitch[0].cents - b.pitch[0].cents || a.offTick - b.offTick);
    notes.sort((a, b) => a.midi - b.midi || a.off - b.off);
    const isWhole = found.length === notes.length;
    return notes.flatMap((note): HeardNote[] => {
      const one = isWhole ? found.shift() : takeNearest(found, note.midi);
      if (one === undefined) return [];
      used.add(one);
      return [{ written: note, onTick: one.onTick, offTick: one.offTick, pitch: one.pitch }];
    });
  });
}

/** Takes the note of the nearest key out; undefined if none is near. */
function takeNearest(notes: TrackNote[], key: number): TrackNote | undefined {
  let best = -1;
  const away = (at: number) => Math.abs(notes[at].key - key);
  for (let at = 0; at < notes.length; at++) if (best < 0 || away(at) < away(best)) best = at;
  return best < 0 || away(best) > WITHIN_KEYS ? undefined : notes.splice(best, 1)[0];
}
