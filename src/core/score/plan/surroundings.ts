import { type PrimeVector, toFifths } from '../../theory/index.js';
import {
  type Candidate,
  type ChoiceWeights,
  type Chooser,
  type ContextPoint,
  costAt,
  isNear,
  type LastPlace,
  rankCandidates,
  type Surroundings,
  toPlace,
} from '../../tuner/index.js';
import type { PlanProblem, PlanStrike } from './problem.js';

/** A point and its place in the flat table of pair costs. */
export interface Spot {
  readonly point: PrimeVector;
  readonly place: number;
}

/** @example toSpot(UNISON).place  // 0 */
export function toSpot(point: PrimeVector): Spot {
  return { point, place: toPlace(point) };
}

/** What a strike is measured against: the same for all its slots but for how much each counts. */
export class Hearing {
  readonly #problem: PlanProblem;
  readonly #strike: PlanStrike;
  readonly #context: { -readonly [K in keyof ContextPoint]: ContextPoint[K] }[];
  readonly #surroundings: Surroundings;

  /**
   * Hears what the tuner would hear, in a piece tuned so far in one way. Nothing leans toward home, as in `free`: what
   * stands away from home is the offset's business.
   *
   * @param spotOf     where a slot placed before stands
   * @param seeds      where each key class may stand when nothing was ever heard
   * @param fifthsMean mean place of the music on the line of fifths, from the tonic
   */
  constructor(
    problem: PlanProblem,
    strike: PlanStrike,
    spotOf: (slot: number) => Spot,
    seeds: readonly PrimeVector[],
    fifthsMean: number,
  ) {
    this.#problem = problem;
    this.#strike = strike;
    const last = new Array<LastPlace | undefined>(12).fill(undefined);
    const context: ContextPoint[] = [];
    for (let i = 0; i < strike.context.length; i++) {
      const { slot, keyClass } = strike.context[i];
      const { point, place } = spotOf(slot);
      context.push({ point, place, keyClass, weight: 0 });
    }
    for (let slot = strike.first; slot < strike.end; slot++) {
      const { keyClass } = problem.slots[slot];
      const before = strike.last[slot - strike.first];
      if (before !== undefined)
        last[keyClass] = { point: spotOf(before.slot).point, ageSeconds: before.ageSeconds };
      if (strike.context.length === 0) context.push({ ...toSpot(seeds[keyClass]), keyClass, weight: 0 });
    }
    this.#context = context;
    this.#surroundings = { context, near: isNear(context), last, fifthsMean, offsetCents: 0, homeLean: 0 };
  }

  /** Where a slot of the strike may go, cheapest first. */
  rank(chooser: Chooser, slot: number): Candidate[] {
    this.#weigh(slot);
    return rankCandidates(chooser, this.#surroundings, this.#problem.slots[slot].keyClass);
  }

  /** What a slot costs at a point. */
  costAt(chooser: Chooser, slot: number, point: PrimeVector): number {
    this.#weigh(slot);
    return costAt(chooser, this.#surroundings, this.#problem.slots[slot].keyClass, point);
  }

  #weigh(slot: number): void {
    const { context, heardWeights, first } = this.#strike;
    const from = (slot - first) * context.length;
    for (let i = 0; i < context.length; i++) this.#context[i].weight = heardWeights[from + i];
  }
}

/** What slots placed together cost among themselves. */
export function pairsAmong(
  { pairCost }: Chooser,
  { pairWeights }: PlanStrike,
  points: readonly { readonly point: PrimeVector }[],
): number {
  let cost = 0;
  for (let i = 1; i < points.length; i++) {
    for (let j = 0; j < i; j++)
      cost += pairWeights[i * points.length + j] * pairCost.between(points[i].point, points[j].point);
  }
  return cost;
}

/** The mean place on the line of fifths after one more slot, as the tuner keeps it: note by note. */
export function moveFifthsMean(
  mean: number,
  point: PrimeVector,
  count: number,
  { fifthsShare }: ChoiceWeights,
): number {
  const fifths = toFifths(point);
  for (let i = 0; i < count; i++) mean += fifthsShare * (fifths - mean);
  return mean;
}
