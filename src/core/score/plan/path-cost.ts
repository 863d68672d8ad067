import { divide, type PrimeVector, sameClass, toDeviationCents, UNISON } from '../../theory/index.js';
import { type Chooser, Surroundings, toPairPrice, toPlace } from '../../tuner/index.js';
import type { PlanPath, PlanProblem, PlanStrike } from './problem.js';

/**
 * The cost of a piece tuned in one way: the tuner's cost of every choice, given the choices before it, and the price of
 * ending away from where it began.
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
    fillSurroundings(surroundings, problem, strike, (slot) => spots[slot], seeds);
    for (let slot = strike.first; slot < strike.end; slot++) {
      cost += surroundings.costAt(problem.slots[slot].keyClass, path[slot]);
      for (let other = strike.first; other < slot; other++)
        cost += toPairPrice(chooser, path[slot], path[other]);
    }
  }
  return cost;
}

/**
 * The price of ending away from where the piece began, by the tuner's price of a cent of distance. The distance is that
 * of the last chord from the first points of its key classes, as most of its notes share it; in a tie the lowest note's.
 * A search doesn't know the way there, and so not the drift itself; see `plan-drift.ts`.
 */
export function toEndPrice(
  problem: PlanProblem,
  { weights }: Chooser,
  pointOf: (slot: number) => PrimeVector,
): number {
  const moves = problem.ending.map((slot) =>
    divide(pointOf(slot), pointOf(problem.firstSlots[problem.slots[slot].keyClass])),
  );
  let [shared, most] = [UNISON, 0];
  for (const move of moves) {
    const count = moves.filter((other) => sameClass(other, move)).length;
    if (count > most) [shared, most] = [move, count];
  }
  return weights.homeLean * Math.abs(toDeviationCents(shared));
}

/** A point, octaves left out, and a number unique to it. */
export interface Spot {
  readonly point: PrimeVector;
  readonly place: number;
}

/** @example toSpot(ratio('1/1')).place  // 0 */
export function toSpot(point: PrimeVector): Spot {
  return { point, place: toPlace(point) };
}

/**
 * Collects what the tuner would measure a strike against, in a piece tuned so far in one way. Nothing prefers home, as
 * in `free`: distance from home is handled by the offset.
 *
 * @param spotOf the point of a slot placed before
 * @param seeds  the place of each key class when nothing was ever heard
 */
export function fillSurroundings(
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
  surroundings.addHome(
    slots.slice(first, end).map(({ keyClass }) => keyClass),
    seeds,
  );
}
