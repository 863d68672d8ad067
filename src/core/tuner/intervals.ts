import {
  harmonicDistance,
  type PrimeLimit,
  type PrimeVector,
  toDeviationCents,
  UNISON,
} from '../theory/index.js';

/** Farthest a candidate may stand from its key's 12 equal size, in cents: beyond it another key is meant. */
const MAX_DEVIATION_CENTS = 45;
/** Farthest a candidate may lie in harmony: 27/20 (7.08) and 25/18 (7.81) are in, 81/80 (8.66) against itself isn't. */
const MAX_DISTANCE = 8.5;
/** The same for chains of pure fifths alone: up to twelve of them, so that every key class can be reached. */
const MAX_FIFTHS = 6;

/** For every key distance 0..11, the ratios (octaves left out) a new note may have to one that sounds, nearest first. */
export type IntervalChoices = readonly (readonly PrimeVector[])[];

/**
 * The ratios the choice works with: those of primes 3 and 5, or of 3 alone. Higher primes never come in by the pair;
 * see `harmonic-chord.ts`.
 * @example createIntervals(5)[2] // 9/8, then 10/9
 */
export function createIntervals(limit: PrimeLimit): IntervalChoices {
  const choices: PrimeVector[][] = Array.from({ length: 12 }, () => []);
  const fives = limit === 3 ? 0 : 3;
  for (let three = -MAX_FIFTHS; three <= MAX_FIFTHS; three++) {
    for (let five = -fives; five <= fives; five++) {
      const ratio: PrimeVector = [0, three, five, 0, 0, 0];
      if (Math.abs(toDeviationCents(ratio)) > MAX_DEVIATION_CENTS) continue;
      if (limit !== 3 && harmonicDistance(ratio, UNISON) > MAX_DISTANCE) continue;
      choices[toKeyClass(7 * three + 4 * five)].push(ratio);
    }
  }
  for (const list of choices) {
    list.sort((a, b) => harmonicDistance(a, UNISON) - harmonicDistance(b, UNISON) || b[1] - a[1]);
  }
  return choices;
}

/** Key class 0..11 of any whole number of keys. @example toKeyClass(-1) // 11 */
export function toKeyClass(keys: number): number {
  return ((keys % 12) + 12) % 12;
}

/** Interval class 0..6 of any whole number of keys: inversions are one. @example toIntervalClass(8) // 4 */
export function toIntervalClass(keys: number): number {
  const keyClass = toKeyClass(keys);
  return keyClass > 6 ? 12 - keyClass : keyClass;
}
