import {
  harmonicDistance,
  type PrimeVector,
  toIntervalClass,
  toKeyClass,
  toKeys,
  UNISON,
} from '../theory/index.js';
import { type Consonances, toImpurity } from './consonance.js';
import type { ChoiceWeights } from './weights.js';

/** Half the width of a table: differences of more than 40 fifths or thirds are worked out each time. */
const REACH = 40;
const WIDTH = 2 * REACH + 1;

/**
 * What two notes cost by their ratio: how far apart they are in harmony, and, if both sound, how impure a consonance
 * they make. The second outweighs any sum of the first.
 */
export interface PairCost {
  /** Harmony of the ratio a ÷ b, octaves left out; symmetric, 0 only for octaves. */
  between(a: PrimeVector, b: PrimeVector): number;
  /** Impurity of the ratio a ÷ b; symmetric, 0 unless it is an impure consonance. */
  impurityOf(a: PrimeVector, b: PrimeVector): number;
  /** The least any ratio of that many keys can cost: a bound for the search. Index 0..11. */
  readonly least: readonly number[];
}

/**
 * Builds the pair cost from the weights: the harmonic distance, weighted by interval class, with a surcharge on all but
 * the plain just interval of the class; and the impurities of `consonance.ts`.
 *
 * A table holds primes 3 and 5. A difference in a higher prime (a note against the inflected seventh of an earlier
 * chord) costs `highPrime` a step more than its distance.
 *
 * @param recallCents how many cents a consonance may be off at a price that memory can outbid
 * @example
 * const cost = createPairCost(DEFAULT_WEIGHTS, toConsonances(5), 0);
 * cost.between(ratio('3/2'), UNISON) < cost.between(ratio('40/27'), UNISON)  // true
 */
export function createPairCost(
  weights: ChoiceWeights,
  consonances: Consonances,
  recallCents: number,
): PairCost {
  if (!Object.isFrozen(weights)) return buildPairCost(weights, consonances, recallCents);
  let known = made.get(weights);
  if (known === undefined) {
    known = new Map();
    made.set(weights, known);
  }
  const key = `${consonances.size} ${recallCents}`;
  let cost = known.get(key);
  if (cost === undefined) {
    cost = buildPairCost(weights, consonances, recallCents);
    known.set(key, cost);
  }
  return cost;
}

/** One table for each set of weights that can't change is enough. */
const made = new WeakMap<ChoiceWeights, Map<string, PairCost>>();

function buildPairCost(weights: ChoiceWeights, consonances: Consonances, recallCents: number): PairCost {
  const costOf = (ratio: PrimeVector): number => {
    const intervalClass = toIntervalClass(toKeys(ratio));
    const distance = harmonicDistance(ratio, UNISON);
    const plain = Math.min(distance, weights.strange);
    const excess = Math.max(0, distance - weights.strange);
    const high = Math.abs(ratio[3]) + Math.abs(ratio[4]) + Math.abs(ratio[5]);
    return (
      weights.distance[intervalClass] * plain +
      weights.strangeSlope * excess +
      (isPlainJust(ratio) ? 0 : weights.impure[intervalClass]) +
      weights.highPrime * high
    );
  };

  return {
    least: listLeast(costOf),
    between: tabulate(costOf),
    impurityOf: tabulate((ratio) => toImpurity(ratio, consonances, recallCents)),
  };
}

/** A function of the ratio a ÷ b that works out each once, as it is asked for; far from 1/1, each time. */
function tabulate(cost: (ratio: PrimeVector) => number): (a: PrimeVector, b: PrimeVector) => number {
  const table = new Float64Array(WIDTH * WIDTH).fill(Number.NaN);
  return (a, b) => {
    const at = toIndex(a, b);
    if (at < 0) return cost(toDifference(a, b));
    if (Number.isNaN(table[at])) table[at] = cost(toDifference(a, b));
    return table[at];
  };
}

/** As many fifths as reach every key; no farther ratio is cheaper than the one of that many fifths for the same key. */
const KEYS_REACH = 6;

function listLeast(costOf: (ratio: PrimeVector) => number): number[] {
  const least = new Array<number>(12).fill(Infinity);
  for (let three = -KEYS_REACH; three <= KEYS_REACH; three++) {
    for (let five = -KEYS_REACH; five <= KEYS_REACH; five++) {
      const keys = toKeyClass(7 * three + 4 * five);
      least[keys] = Math.min(least[keys], costOf([0, three, five, 0, 0, 0]));
    }
  }
  return least;
}

/** Index of the ratio a ÷ b in a table; -1 outside it. */
function toIndex(a: PrimeVector, b: PrimeVector): number {
  const three = a[1] - b[1] + REACH;
  const five = a[2] - b[2] + REACH;
  if (three < 0 || three >= WIDTH || five < 0 || five >= WIDTH) return -1;
  if (a[3] !== b[3] || a[4] !== b[4] || a[5] !== b[5]) return -1;
  return three * WIDTH + five;
}

function toDifference(a: PrimeVector, b: PrimeVector): PrimeVector {
  return [0, a[1] - b[1], a[2] - b[2], a[3] - b[3], a[4] - b[4], a[5] - b[5]];
}

/** Steps of 7, 11 and 13 in a place: far outside the table. */
const HIGH_STEPS = [1 << 16, 1 << 20, 1 << 24];

/**
 * A point as one whole number: its place in the flat table of pair costs, where only differences count. Points of one
 * piece have different places unless they are equal up to octaves.
 */
export function toPlace(point: PrimeVector): number {
  return (
    point[1] * WIDTH +
    point[2] +
    point[3] * HIGH_STEPS[0] +
    point[4] * HIGH_STEPS[1] +
    point[5] * HIGH_STEPS[2]
  );
}

/** 1/1, 3/2, 5/4, 6/5 and their inversions, octaves left out. */
function isPlainJust(ratio: PrimeVector): boolean {
  if (ratio[3] !== 0 || ratio[4] !== 0 || ratio[5] !== 0) return false;
  const [, three, five] = ratio;
  return (
    (five === 0 && Math.abs(three) <= 1) ||
    (three === 0 && Math.abs(five) === 1) ||
    (three === 1 && five === -1) ||
    (three === -1 && five === 1)
  );
}
