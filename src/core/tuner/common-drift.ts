import { type PrimeVector, sameClass, UNISON } from '../theory/index.js';
import { type Ledger, toDrift } from './ledger.js';

/**
 * The exact drift of a chord: the comma product between where its key classes stand in the books and where they first
 * stood. The one most of its notes share; between equals the lowest note's. 1/1 for no keys.
 *
 * @param keys the chord's keys 0..127, from the lowest up
 * @example toCommonDrift(ledger, [60, 64, 67]) // 80/81 after one falling pump on C
 */
export function toCommonDrift(ledger: Ledger, keys: readonly number[]): PrimeVector {
  return toMostShared(keys.map((key) => toDrift(ledger, key % 12)));
}

/** The drift that most of some notes share; between equals that of the first. 1/1 for none. */
export function toMostShared(drifts: readonly PrimeVector[]): PrimeVector {
  let best = UNISON;
  let most = 0;
  for (const drift of drifts) {
    const count = drifts.filter((other) => sameClass(other, drift)).length;
    if (count > most) {
      best = drift;
      most = count;
    }
  }
  return best;
}
