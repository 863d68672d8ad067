import type { PrimeLimit, PrimeVector } from '../../theory/index.js';
import { type ChordNote, HARMONIC_DEGREES, inflectHarmonicChord } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';

/** Points of slots in primes 3 and 5, and with higher primes. */
export interface InflectedPath {
  readonly frames: PlanPath;
  readonly points: PlanPath;
}

/** Acts as if something else had always been heard lately. */
const NEVER_ALONE = (): boolean => false;

/** A slot as it sounds in a chord. */
interface ChordSlot extends ChordNote {
  readonly slot: number;
  point: PrimeVector;
}

/**
 * Gives sevenths, elevenths and thirteenths their pure size in harmonic chords, as the live rule does, but for a note
 * that will be tied over into a chord it doesn't belong to. The live rule can't know that, and the next chord has to
 * meet it; here it stays plain.
 *
 * @param path points of the slots in primes 3 and 5
 */
export function inflectPath(problem: PlanProblem, path: PlanPath, limit: PrimeLimit): InflectedPath {
  if (limit < 7) return { frames: path, points: path };
  const { strikes, slots, notes } = problem;
  const until = new Int32Array(slots.length);
  for (const note of notes) until[note.slot] = Math.max(until[note.slot], note.until);
  const frames = path.slice();
  const points = path.slice();
  const inflect = (note: ChordSlot, point: PrimeVector) => {
    note.point = point;
    points[note.slot] = point;
  };
  const place = (note: ChordSlot, point: PrimeVector) => {
    frames[note.slot] = point;
    inflect(note, point);
  };
  strikes.forEach((strike, at) => {
    const chord: ChordSlot[] = [];
    const add = (slot: number, settled: boolean) =>
      chord.push({ slot, keyClass: slots[slot].keyClass, settled, point: points[slot], harmonic: false });
    for (const { slot } of strike.context) if (until[slot] > at) add(slot, true);
    const classes = new Set(chord.map(({ keyClass }) => keyClass));
    for (let slot = strike.first; slot < strike.end; slot++) classes.add(slots[slot].keyClass);
    for (let slot = strike.first; slot < strike.end; slot++)
      add(slot, isBoundElsewhere(problem, slot, until[slot], classes, limit));
    inflectHarmonicChord(chord, limit, NEVER_ALONE, { inflect, place });
  });
  return { frames, points };
}

/** Whether a note that could be inflected is tied over into a chord it doesn't belong to. */
function isBoundElsewhere(
  { strikes, slots }: PlanProblem,
  slot: number,
  until: number,
  classes: ReadonlySet<number>,
  limit: PrimeLimit,
): boolean {
  const { keyClass, strike } = slots[slot];
  const degrees = [10, ...(limit >= 11 ? [6] : []), ...(limit >= 13 ? [8] : [])];
  return degrees.some((degree) => {
    const root = (keyClass - degree + 12) % 12;
    if (!classes.has((root + 4) % 12)) return false;
    for (let at = strike + 1; at < until; at++) {
      for (let other = strikes[at].first; other < strikes[at].end; other++) {
        const from = (slots[other].keyClass - root + 12) % 12;
        if (!HARMONIC_DEGREES.has(from) && from !== degree) return true;
      }
    }
    return false;
  });
}
