import { divide, type PrimeVector, toDeviationCents } from '../../theory/index.js';
import { type Chooser, Surroundings, toMostShared, toPairPrice } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { hearStrike, toSpot } from './surroundings.js';

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
