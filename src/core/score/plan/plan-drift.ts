import type { PrimeVector } from '../../theory/index.js';
import { createDriftLevel, type DriftLevel, findStep, takeStep } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { LEAVING_WEIGHT } from './to-problem.js';

/**
 * The drift of a piece tuned in one way, by the tuner's own rule: where the harmony ends, and the references of its key
 * classes. What can't be tuned doesn't count, nor do notes that only end late.
 *
 * @param points points of the slots, with the primes above 5
 * @returns the level after the last strike; its common offset isn't known here
 * @example toPlanDrift({ strikes: [], slots: [], notes: [] }, []).commas  // [0, 0, 0, 0, 0, 0]
 */
export function toPlanDrift(
  { strikes, slots }: Pick<PlanProblem, 'strikes' | 'slots'>,
  points: PlanPath,
): DriftLevel {
  const level = createDriftLevel();
  for (const { context, first, end } of strikes) {
    const sounding = new Array<PrimeVector | undefined>(12).fill(undefined);
    const struck = new Set<number>();
    const hear = (slot: number) => {
      const { keyClass, count } = slots[slot];
      if (count > 0) sounding[keyClass] = points[slot];
      return count > 0 ? keyClass : undefined;
    };
    // What counts most comes first; of one key class the newest.
    for (const { slot, binding } of context.toReversed()) if (binding > LEAVING_WEIGHT) hear(slot);
    for (let slot = first; slot < end; slot++) {
      const keyClass = hear(slot);
      if (keyClass !== undefined) struck.add(keyClass);
    }
    takeStep(
      level,
      sounding,
      findStep(level, sounding, (keyClass) => struck.has(keyClass)),
    );
  }
  return level;
}
