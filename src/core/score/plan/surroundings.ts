import type { PrimeVector } from '../../theory/index.js';
import { type Surroundings, toPlace } from '../../tuner/index.js';
import type { PlanProblem, PlanStrike } from './problem.js';

/** A point, octaves left out, and a number that no other point has. */
export interface Spot {
  readonly point: PrimeVector;
  readonly place: number;
}

/** @example toSpot(UNISON).place  // 0 */
export function toSpot(point: PrimeVector): Spot {
  return { point, place: toPlace(point) };
}

/**
 * Hears what the tuner would hear before a strike, in a piece tuned so far in one way. Nothing leans toward home, as in
 * `free`: what stands away from home is the offset's business.
 *
 * @param spotOf where a slot placed before stands
 * @param seeds  where each key class may stand when nothing was ever heard
 */
export function hearStrike(
  surroundings: Surroundings,
  { slots }: PlanProblem,
  { context, first, end }: PlanStrike,
  spotOf: (slot: number) => Spot,
  seeds: readonly PrimeVector[],
): void {
  surroundings.begin();
  for (const { slot, keyClass, ageSeconds, binding } of context)
    surroundings.hear(spotOf(slot).point, keyClass, ageSeconds, binding);
  if (context.length > 0) return;
  surroundings.hearHome(
    slots.slice(first, end).map(({ keyClass }) => keyClass),
    seeds,
  );
}
