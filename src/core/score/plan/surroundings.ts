import { type PrimeVector, toDeviationCents, toFifths } from '../../theory/index.js';
import {
  type ChoiceWeights,
  type Chooser,
  costAt,
  MAX_CANDIDATES,
  type Rankings,
  type Surroundings,
  toFading,
  toPlace,
} from '../../tuner/index.js';
import type { PlanProblem, PlanStrike } from './problem.js';

/** A point and its place in the flat table of pair costs. */
export interface Spot {
  readonly point: PrimeVector;
  readonly place: number;
}

/** A spot a slot may take, and what it costs there against what is heard. */
export interface PricedSpot extends Spot {
  /** How far the point stands from its key in 12 equal, in cents. */
  readonly deviationCents: number;
  readonly cost: number;
}

/** @example toSpot(UNISON).place  // 0 */
export function toSpot(point: PrimeVector): Spot {
  return { point, place: toPlace(point) };
}

/** What a strike is measured against: the same for all its slots but for how much each counts. */
export class Hearing {
  readonly #problem: PlanProblem;
  readonly #strike: PlanStrike;
  readonly #rankings: Rankings;
  readonly #surroundings: Surroundings;
  /** For each slot of the strike's context: its index in the surroundings. */
  readonly #heardAt: number[] = [];

  /**
   * Hears what the tuner would hear, in a piece tuned so far in one way. Nothing leans toward home, as in `free`: what
   * stands away from home is the offset's business.
   *
   * @param rankings   with their surroundings; this hearing's until the next is made with them
   * @param spotOf     where a slot placed before stands
   * @param seeds      where each key class may stand when nothing was ever heard
   * @param fifthsMean mean place of the music on the line of fifths, from the tonic
   */
  constructor(
    problem: PlanProblem,
    rankings: Rankings,
    strike: PlanStrike,
    spotOf: (slot: number) => Spot,
    seeds: readonly PrimeVector[],
    fifthsMean: number,
  ) {
    this.#problem = problem;
    this.#strike = strike;
    const { surroundings } = rankings;
    this.#rankings = rankings;
    this.#surroundings = surroundings;
    surroundings.fifthsMean = fifthsMean;
    surroundings.begin();
    for (const { slot, keyClass } of strike.context)
      this.#heardAt.push(surroundings.hear(spotOf(slot).point, keyClass, 0));
    for (let slot = strike.first; slot < strike.end; slot++) {
      const { keyClass } = problem.slots[slot];
      const before = strike.last[slot - strike.first];
      if (before !== undefined) {
        const fading = toFading(surroundings.chooser.weights, before.ageSeconds);
        surroundings.wasLastAt(keyClass, toDeviationCents(spotOf(before.slot).point), fading);
      }
      if (strike.context.length === 0) surroundings.hear(seeds[keyClass], keyClass, 0);
    }
    surroundings.end();
  }

  /** Where a slot of the strike may go, cheapest first. */
  rank(slot: number): PricedSpot[] {
    this.#weigh(slot);
    const { keyClass } = this.#problem.slots[slot];
    this.#rankings.clear();
    this.#rankings.rank(keyClass);
    const { sizes, places, deviationCents, costs } = this.#rankings;
    return Array.from({ length: sizes[keyClass] }, (_, i) => {
      const at = keyClass * MAX_CANDIDATES + i;
      return {
        point: this.#rankings.pointAt(at),
        place: places[at],
        deviationCents: deviationCents[at],
        cost: costs[at],
      };
    });
  }

  /** What a slot costs at a point. */
  costAt(slot: number, point: PrimeVector): number {
    this.#weigh(slot);
    return costAt(this.#surroundings, this.#problem.slots[slot].keyClass, point);
  }

  #weigh(slot: number): void {
    const { context, heardWeights, first } = this.#strike;
    const { weights } = this.#surroundings;
    const from = (slot - first) * context.length;
    for (const at of this.#heardAt) weights[at] = 0;
    for (let i = 0; i < context.length; i++) weights[this.#heardAt[i]] += heardWeights[from + i];
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
