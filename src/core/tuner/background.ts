import { multiply, type PrimeVector, UNISON } from '../theory/index.js';
import type { Background, Decider } from './note.js';
import { toRecallWeight } from './weights.js';

/** Everything there was: what sounds first, then the memory of each key class, also of those that sound. */
export function toDeciders({ atMs, sounding, memory, level, plane, weights }: Background): Decider[] {
  const deciders = sounding.slice();
  for (const one of memory) {
    if (one === undefined) continue;
    const weight = toRecallWeight(weights, (atMs - one.endedMs) / 1000);
    deciders.push({ presence: 'recalled', key: one.key, point: toHeard(one.point, level, plane), weight });
  }
  return deciders;
}

/**
 * A remembered point as it is heard: what was left where it would stand without primes above 5 is heard where the held
 * notes stand.
 *
 * @param level how far these were moved; see `hear-scene.ts`
 * @param plane a point with the primes above 5 that they have
 * @example toHeard(point, UNISON, UNISON)  // point
 */
export function toHeard(point: PrimeVector, level: PrimeVector, plane: PrimeVector): PrimeVector {
  if (level === UNISON) return point;
  const moved = multiply(point, level);
  return moved[3] === plane[3] && moved[4] === plane[4] && moved[5] === plane[5] ? moved : point;
}
