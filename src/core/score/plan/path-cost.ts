import { divide, type PrimeVector, toDeviationCents } from '../../theory/index.js';
import { type Chooser, Surroundings, toMostShared, toPairPrice, toPlace } from '../../tuner/index.js';
import type { PlanPath, PlanProblem, PlanStrike } from './problem.js';

/**
 * What a piece costs, tuned in one way: the tuner's own cost of every choice, given the choices before it, and the price
 * of ending away from where it began.
 */
export function toPathCost(
  problem: PlanProblem,
  chooser: Chooser,
  seeds: readonly PrimeVector[],
  path: PlanPath,
): number {
  const spots = path.map(toSpot);
  const surroundings = new Surroundings(chooser);
  let cost = toEndPrice(problem, chooser, (slot) => path[slot]);
  for (const strike of problem.strikes) {
    hearStrike(surroundings, problem, strike, (slot) => spots[slot], seeds);
    for (let slot = strike.first; slot < strike.end; slot++) {
      cost += surroundings.costAt(problem.slots[slot].keyClass, path[slot]);
      for (let other = strike.first; other < slot; other++)
        cost += toPairPrice(chooser, path[slot], path[other]);
    }
  }
  return cost;
}

/**
 * How far the last chord stands from where its key classes first stood, as a comma product: what most of its notes
 * share; between equals the lowest note's. As the ending of a piece is told everywhere.
 */
export function toEndDrift(problem: PlanProblem, pointOf: (slot: number) => PrimeVector): PrimeVector {
  return toMostShared(
    problem.ending.map((slot) =>
      divide(pointOf(slot), pointOf(problem.firstSlots[problem.slots[slot].keyClass])),
    ),
  );
}

/** The price of ending away from home: what the tuner asks for a cent of distance. */
export function toEndPrice(
  problem: PlanProblem,
  { weights }: Chooser,
  pointOf: (slot: number) => PrimeVector,
): number {
  return weights.homeLean * Math.abs(toDeviationCents(toEndDrift(problem, pointOf)));
}

/** A point, octaves left out, and a number that no other point has. */
export interface Spot {
  readonly point: PrimeVector;
  readonly place: number;
}

/** @example toSpot(ratio('1/1')).place  // 0 */
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
