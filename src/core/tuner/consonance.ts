import {
  type PrimeVector,
  toDeviationCents,
  toFifths,
  toIntervalClass,
  toKeyClass,
} from '../theory/index.js';

/**
 * Consonances and their just ratios, octaves left out, by steps on the line of fifths: unison and octave, fifth and
 * fourth, major third and minor sixth, minor third and major sixth.
 *
 * Keys alone don't define a consonance: three of them are a minor third (three fifths apart) or an augmented second
 * (nine). So notes are spelled first (`spelling.ts`).
 */
const JUST: ReadonlyMap<number, PrimeVector> = new Map([
  [0, [0, 0, 0, 0, 0, 0]],
  [1, [0, 1, 0, 0, 0, 0]],
  [-1, [0, -1, 0, 0, 0, 0]],
  [3, [0, -1, 1, 0, 0, 0]],
  [-3, [0, 1, -1, 0, 0, 0]],
  [4, [0, 0, 1, 0, 0, 0]],
  [-4, [0, 0, -1, 0, 0, 0]],
]);

/** The 3-limit has octaves, fifths and fourths. */
const JUST_FIFTHS: ReadonlyMap<number, PrimeVector> = new Map(
  [...JUST].filter(([, ratio]) => ratio[2] === 0),
);

/** The just ratio of each consonance, by steps on the line of fifths. */
export type Consonances = ReadonlyMap<number, PrimeVector>;

/**
 * The consonances of a prime limit. Primes above 5 enter by whole chords, see `harmonic-chord.ts`.
 * @example toConsonances(5).get(4)  // [0, 0, 1, 0, 0, 0]: 5/4
 */
export function toConsonances(limit: number): Consonances {
  return limit === 3 ? JUST_FIFTHS : JUST;
}

/**
 * Costs of impure thirds, of fourths and fifths, and of octaves: sums of a lesser kind don't reach the next. Each
 * outweighs all that memory and home can cost.
 */
const THIRD = 1e4;
const FIFTH = 1e6;
const OCTAVE = 1e8;
/** Cost of an impurity that `recall` allows: about as much as coming back elsewhere. */
const TOLERATED = 1.75;
/** Decides between impurities of one kind: each cent adds a thousandth. */
const SLIGHTNESS = 1e-3;
/** Smaller differences are rounding. */
const ROUNDING_CENTS = 1e-6;

/**
 * What an impure consonance costs; 0 for a just one, and for any other interval.
 *
 * @param ratio          of two notes that sound together, octaves left out
 * @param toleranceCents how far off it may be at a price that memory can outbid
 * @example toImpurity([0, 4, 0, 0, 0, 0], toConsonances(5), 0)   // 10215.06: 81/64 is a third a comma off
 * @example toImpurity([0, 4, 0, 0, 0, 0], toConsonances(5), 22)  // 1.75
 */
export function toImpurity(ratio: PrimeVector, consonances: Consonances, toleranceCents: number): number {
  const keys = toKeyClass(7 * toFifths(ratio));
  const intervalClass = toIntervalClass(keys);
  // Octaves, fourths and fifths count even in a spelling no composer writes.
  const fifths = intervalClass === 0 ? 0 : intervalClass === 5 ? (keys === 7 ? 1 : -1) : toFifths(ratio);
  const just = consonances.get(fifths);
  if (just === undefined) return 0;
  const cents = Math.abs(toDeviationCents(ratio) - toDeviationCents(just));
  if (cents <= ROUNDING_CENTS) return 0;
  if (cents <= toleranceCents + ROUNDING_CENTS) return TOLERATED;
  return (intervalClass === 0 ? OCTAVE : intervalClass === 5 ? FIFTH : THIRD) * (1 + SLIGHTNESS * cents);
}
