import { harmonicDistance, type PrimeVector, toKeys, UNISON } from '../theory/index.js';
import { toIntervalClass } from './intervals.js';
import type { ChoiceWeights } from './weights.js';

/** Half the width of the table: differences of more than 40 fifths or thirds are worked out when asked for. */
export const REACH = 40;
const WIDTH = 2 * REACH + 1;

/** Where the unison stands in the table. */
const CENTRE = REACH * WIDTH + REACH;

/** What two notes that sound together cost, by the ratio between them. */
export interface PairCost {
  /**
   * The same laid out flat, for points that agree in the primes above 5 and lie no more than {@link REACH} steps of 3 or 5
   * apart: `table[toPlace(a) - toPlace(b) + centre]`. A look-up and nothing else, for the inner loops of the choice.
   */
  readonly table: Float64Array;
  readonly centre: number;
  /** Cost of the ratio a ÷ b, octaves left out; symmetric, 0 only for octaves. */
  between(a: PrimeVector, b: PrimeVector): number;
  /** The least any ratio of that many keys can cost: a bound for the search. Index 0..11. */
  readonly least: readonly number[];
}

/**
 * Builds the pair cost from the weights: the harmonic distance, weighted by interval class, with a surcharge on
 * whatever isn't the plain just interval of its class.
 *
 * A table answers for primes 3 and 5; a difference in a higher prime (a note against the inflected seventh of an
 * earlier chord) costs `highPrime` a step more than its distance.
 *
 * @example createPairCost(STOCK_WEIGHTS).between(FIFTH, UNISON) < …between(WOLF_FIFTH, UNISON)
 */
export function createPairCost(weights: ChoiceWeights): PairCost {
  const known = made.get(weights);
  if (known !== undefined) return known;
  const cost = buildPairCost(weights);
  if (Object.isFrozen(weights)) made.set(weights, cost);
  return cost;
}

/** A table takes a third of a millisecond: one for each set of weights that can't change is enough. */
const made = new WeakMap<ChoiceWeights, PairCost>();

function buildPairCost(weights: ChoiceWeights): PairCost {
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

  const table = new Float64Array(WIDTH * WIDTH);
  const least = new Array<number>(12).fill(Infinity);
  for (let three = -REACH; three <= REACH; three++) {
    for (let five = -REACH; five <= REACH; five++) {
      const ratio: PrimeVector = [0, three, five, 0, 0, 0];
      const cost = costOf(ratio);
      table[(three + REACH) * WIDTH + five + REACH] = cost;
      const keys = (((7 * three + 4 * five) % 12) + 12) % 12;
      least[keys] = Math.min(least[keys], cost);
    }
  }

  return {
    table,
    centre: CENTRE,
    least,
    between(a, b) {
      const three = a[1] - b[1] + REACH;
      const five = a[2] - b[2] + REACH;
      if (
        three < 0 ||
        three >= WIDTH ||
        five < 0 ||
        five >= WIDTH ||
        a[3] !== b[3] ||
        a[4] !== b[4] ||
        a[5] !== b[5]
      ) {
        return costOf([0, a[1] - b[1], a[2] - b[2], a[3] - b[3], a[4] - b[4], a[5] - b[5]]);
      }
      return table[three * WIDTH + five];
    },
  };
}

/** Steps of 7, 11 and 13 in a place: far outside the table. */
const HIGH_STEPS = [1 << 16, 1 << 20, 1 << 24];

/**
 * A point as one whole number: its place in the flat table of pair costs, where only differences mean anything. Points
 * of one piece have different places unless they are equal up to octaves.
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
