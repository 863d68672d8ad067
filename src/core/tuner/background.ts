import { multiply, type PrimeVector, UNISON } from '../theory/index.js';
import type { Background, Decider } from './note.js';
import { toRecallWeight } from './weights.js';

/** Everything there was: what sounds first, then the memory of each key class, also of those that sound. */
export function toDeciders({ atMs, sounding, memory, level, weights }: Background): Decider[] {
  const deciders = sounding.slice();
  for (const one of memory) {
    if (one === undefined) continue;
    const weight = toRecallWeight(weights, (atMs - one.endedMs) / 1000);
    deciders.push({ presence: 'recalled', key: one.key, point: toHeard(one.point, level), weight });
  }
  return deciders;
}

/** A remembered point as it is heard. @example toHeard(point, UNISON)  // point */
export function toHeard(point: PrimeVector, level: PrimeVector): PrimeVector {
  return level === UNISON ? point : multiply(point, level);
}
