import { harmonicDistance, type PrimeVector, toKeys, UNISON } from '../theory/index.js';
import { toIntervalClass } from './intervals.js';
import type { ChoiceWeights } from './weights.js';

/** Half the width of the table: differences of more than 24 fifths or thirds are worked out when asked for. */
const REACH = 24;
const WIDTH = 2 * REACH + 1;

/** What two notes that sound together cost, by the ratio between them. */
export interface PairCost {
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
