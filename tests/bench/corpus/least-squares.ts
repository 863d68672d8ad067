import type { PitchPoint } from './hear-track.js';
import type { HeardNote, Performance } from './heard.js';
import { INTERVALS_5_LIMIT_CENTS } from './just.js';
import type { Piece, WrittenNote } from './pieces.js';

/**
 * A published scheme to be measured against, rebuilt from its general form alone: pitches are no ratios but the least
 * squares of what all intervals want. At every strike all that sounds is moved to where the sum is least of the squared
 * errors: of each pair from its just size, of each note from where it was, and of each note from 12 equal.
 *
 * @see K. Stange, C. Wick, H. Hinrichsen, "Playing Music in Just Intonation: A Dynamically Adaptive Tuning Scheme",
 * Computer Music EventQueue 42(3), 2018
 */
export interface LeastSquaresWeights {
  /** Of an interval between two sounding notes, if it is a consonance of keys. */
  readonly vertical: number;
  /** Of a note's own last pitch. */
  readonly horizontal: number;
  /** Of 12 equal. */
  readonly home: number;
}

export const LEAST_SQUARES_WEIGHTS: LeastSquaresWeights = { vertical: 1, horizontal: 0.01, home: 0.0005 };

/** Keys of unisons, thirds, fourths and their inversions, octaves folded. */
const CONSONANT_KEYS: ReadonlySet<number> = new Set([0, 3, 4, 5, 7, 8, 9]);
/** What any other interval counts, beside a consonance. */
const DISSONANT_SHARE = 0.02;
/** A key class heard so long ago still speaks for its pitch: half as much as one that sounds, fading by e a quarter. */
const REMEMBERED_QUARTERS = 2;
const REMEMBERED_SHARE = 0.5;
const TICKS_PER_QUARTER = 480;

/** Pitches as distances from 12 equal, in cents. */
interface Deviation {
  /** When it was heard last, in quarters. */
  readonly off: number;
  readonly cents: number;
}

/** What a piece sounds like under the scheme. */
export function performLeastSquares(
  { notes }: Piece,
  secondsPerQuarter: number,
  weights = LEAST_SQUARES_WEIGHTS,
): Performance {
  const pitches = new Map<WrittenNote, PitchPoint[]>(notes.map((note) => [note, []]));
  const now = new Map<WrittenNote, number>();
  const last = new Map<number, Deviation>();
  const order = notes.slice().sort((a, b) => a.on - b.on);
  let sounding: WrittenNote[] = [];
  let next = 0;
  for (const at of new Set(order.map(({ on }) => on))) {
    for (const note of sounding.slice().sort((a, b) => a.off - b.off))
      if (note.off <= at) last.set(note.midi % 12, { off: note.off, cents: now.get(note)! });
    sounding = sounding.filter((note) => note.off > at);
    for (; next < order.length && order[next].on <= at; next++) sounding.push(order[next]);
    const wanted = sounding.map((note): Wanted => {
      const cents = now.get(note);
      if (cents !== undefined) return { cents, weight: weights.horizontal };
      const before = last.get(note.midi % 12);
      const age = before === undefined ? Infinity : at - before.off;
      if (before === undefined || age > REMEMBERED_QUARTERS) return { cents: 0, weight: 0 };
      return { cents: before.cents, weight: REMEMBERED_SHARE * weights.horizontal * Math.exp(-age) };
    });
    const found = toLeastSquares(sounding, wanted, weights);
    const tick = Math.round(at * TICKS_PER_QUARTER);
    for (const [i, note] of sounding.entries()) {
      now.set(note, found[i]);
      pitches.get(note)!.push({ tick, cents: 100 * note.midi + found[i] });
    }
  }
  const heard = notes.map((written): HeardNote => {
    const onTick = Math.round(written.on * TICKS_PER_QUARTER);
    const offTick = Math.round(written.off * TICKS_PER_QUARTER);
    return { written, onTick, offTick, pitch: pitches.get(written)! };
  });
  const msPerTick = (1000 * secondsPerQuarter) / TICKS_PER_QUARTER;
  return { notes: heard, strikes: heard, ticksPerQuarter: TICKS_PER_QUARTER, msPerTick, wireBytes: 0 };
}

/** Where a note wants to be by itself, and how much. */
interface Wanted {
  readonly cents: number;
  readonly weight: number;
}

/** The deviations of least squares: what all derivatives being 0 comes to. */
function toLeastSquares(
  notes: readonly WrittenNote[],
  wanted: readonly Wanted[],
  { vertical, home }: LeastSquaresWeights,
): number[] {
  const rows = notes.map((_, i) => {
    const row = new Array<number>(notes.length + 1).fill(0);
    row[i] = home + wanted[i].weight;
    row[notes.length] = wanted[i].weight * wanted[i].cents;
    return row;
  });
  for (let i = 0; i < notes.length; i++) {
    for (let j = 0; j < i; j++) {
      const [high, low] = notes[i].midi >= notes[j].midi ? [i, j] : [j, i];
      const keys = (notes[high].midi - notes[low].midi) % 12;
      const weight = vertical * (CONSONANT_KEYS.has(keys) ? 1 : DISSONANT_SHARE);
      const cents = weight * (INTERVALS_5_LIMIT_CENTS[keys] - 100 * keys);
      rows[high][high] += weight;
      rows[low][low] += weight;
      rows[high][low] -= weight;
      rows[low][high] -= weight;
      rows[high][notes.length] += cents;
      rows[low][notes.length] -= cents;
    }
  }
  return solve(rows);
}

/** Solves linear equations, each a row with its right side last: by elimination. The matrix is positive definite. */
function solve(rows: number[][]): number[] {
  const size = rows.length;
  for (let i = 0; i < size; i++) {
    for (let r = i + 1; r < size; r++) {
      const factor = rows[r][i] / rows[i][i];
      if (factor !== 0) for (let c = i; c <= size; c++) rows[r][c] -= factor * rows[i][c];
    }
  }
  const found = new Array<number>(size).fill(0);
  for (let i = size - 1; i >= 0; i--) {
    let sum = rows[i][size];
    for (let c = i + 1; c < size; c++) sum -= rows[i][c] * found[c];
    found[i] = sum / rows[i][i];
  }
  return found;
}
