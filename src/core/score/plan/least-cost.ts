import { type PrimeVector, UNISON } from '../../theory/index.js';
import type { Chooser } from '../../tuner/index.js';
import type { PlanProblem, PlanStrike } from './problem.js';

/** How far apart the notes of a chord are tried, in steps of 3 and of 5. */
const REACH_THREE = 9;
const REACH_FIVE = 3;
/** Bound on the search of one chord. */
const MAX_STEPS = 4000;
/** What counts less than this is taken pair by pair. */
const FAINT = 0.1;

/**
 * What each strike and all after it cost at least, however the piece is tuned: its chord alone, with what it is measured
 * against, at its best. One more entry than strikes; the last is 0.
 *
 * @param maxSteps bound on the search of one chord; beyond it each pair is taken at its cheapest
 */
export function toLeastRest(problem: PlanProblem, chooser: Chooser, maxSteps = MAX_STEPS): number[] {
  const rest = new Array<number>(problem.strikes.length + 1).fill(0);
  const far = Array.from({ length: 12 }, (_, keys) => toFar(chooser, keys));
  for (let at = problem.strikes.length - 1; at >= 0; at--)
    rest[at] = rest[at + 1] + toLeast(problem, chooser, far, problem.strikes[at], maxSteps);
  return rest;
}

function toLeast(
  problem: PlanProblem,
  chooser: Chooser,
  far: readonly number[],
  strike: PlanStrike,
  maxSteps: number,
): number {
  const own = problem.slots.slice(strike.first, strike.end);
  const { context, heardWeights, pairWeights } = strike;
  // Whatever counts little is taken pair by pair; the rest is looked at together.
  const isFaint = (at: number) =>
    own.every((one, i) => one.count * heardWeights[i * context.length + at] < FAINT);
  let faint = 0;
  const heard: number[] = [];
  context.forEach(({ keyClass }, at) => {
    if (!isFaint(at)) heard.push(at);
    else
      own.forEach((one, i) => {
        const weight = one.count * heardWeights[i * context.length + at];
        faint += weight * chooser.pairCost.least[(one.keyClass - keyClass + 12) % 12];
      });
  });
  const keyClasses = [...own.map(({ keyClass }) => keyClass), ...heard.map((at) => context[at].keyClass)];
  const weightOf = (i: number, j: number): number => {
    if (j >= own.length) return 0; // both were there before
    if (i < own.length) return pairWeights[i * own.length + j];
    return own[j].count * heardWeights[j * context.length + heard[i - own.length]];
  };
  return faint + new ChordSearch(chooser, far, keyClasses, weightOf, maxSteps).run();
}

/** The least a chord can cost among itself: wherever its notes stand. */
class ChordSearch {
  readonly #chooser: Chooser;
  readonly #keyClasses: readonly number[];
  /** How much a pair counts, the later one first. */
  readonly #weight: (i: number, j: number) => number;
  readonly #places: readonly (readonly PrimeVector[])[];
  /** rest[i]: the least that members i, i+1 … can add. */
  readonly #rest: readonly number[];
  readonly #trial: PrimeVector[] = [];
  #best: number;
  #steps = 0;
  readonly #maxSteps: number;

  constructor(
    chooser: Chooser,
    far: readonly number[],
    keyClasses: readonly number[],
    weight: (i: number, j: number) => number,
    maxSteps: number,
  ) {
    this.#maxSteps = maxSteps;
    this.#chooser = chooser;
    this.#keyClasses = keyClasses;
    this.#weight = weight;
    this.#places = keyClasses.map((keyClass, i) =>
      i === 0 ? [UNISON] : PLACES[(keyClass - keyClasses[0] + 12) % 12],
    );
    const rest = new Array<number>(keyClasses.length + 1).fill(0);
    for (let i = keyClasses.length - 1; i >= 0; i--) {
      rest[i] = rest[i + 1];
      for (let j = 0; j < i; j++) rest[i] += weight(i, j) * this.#least(i, j);
    }
    this.#rest = rest;
    // Beyond what is tried: one member farther from the first than that, everything else at its cheapest.
    this.#best = Infinity;
    for (let i = 1; i < keyClasses.length; i++) {
      const more = far[(keyClasses[i] - keyClasses[0] + 12) % 12] - this.#least(i, 0);
      this.#best = Math.min(this.#best, rest[0] + weight(i, 0) * more);
    }
  }

  run(): number {
    this.#place(0, 0);
    if (this.#steps > this.#maxSteps || this.#keyClasses.length < 2) return this.#rest[0];
    return this.#best;
  }

  #place(i: number, cost: number): void {
    if (i === this.#keyClasses.length) {
      this.#best = cost;
      return;
    }
    for (const point of this.#places[i]) {
      if (++this.#steps > this.#maxSteps) return;
      let sum = cost;
      for (let j = 0; j < i; j++) {
        const weight = this.#weight(i, j);
        if (weight > 0) sum += weight * this.#chooser.pairCost.between(point, this.#trial[j]);
      }
      if (sum + this.#rest[i + 1] >= this.#best) continue;
      this.#trial[i] = point;
      this.#place(i + 1, sum);
    }
  }

  #least(i: number, j: number): number {
    return this.#chooser.pairCost.least[(this.#keyClasses[i] - this.#keyClasses[j] + 12) % 12];
  }
}

function isKey(three: number, five: number, keys: number): boolean {
  return (((7 * three + 4 * five - keys) % 12) + 12) % 12 === 0;
}

/** Points near the first note that lie so many keys from it, octaves left out. */
function toPlaces(keys: number): PrimeVector[] {
  const places: PrimeVector[] = [];
  for (let three = -REACH_THREE; three <= REACH_THREE; three++) {
    for (let five = -REACH_FIVE; five <= REACH_FIVE; five++) {
      if (isKey(three, five, keys)) places.push([0, three, five, 0, 0, 0]);
    }
  }
  return places;
}

/** The least a pair so many keys apart costs that lies outside those points: costs grow with distance from there on. */
function toFar({ pairCost }: Chooser, keys: number): number {
  let least = Infinity;
  for (let three = -3 * REACH_THREE; three <= 3 * REACH_THREE; three++) {
    for (let five = -3 * REACH_FIVE; five <= 3 * REACH_FIVE; five++) {
      if (Math.abs(three) <= REACH_THREE && Math.abs(five) <= REACH_FIVE) continue;
      if (isKey(three, five, keys))
        least = Math.min(least, pairCost.between([0, three, five, 0, 0, 0], [0, 0, 0, 0, 0, 0]));
    }
  }
  return least;
}

/** By keys from the first note. */
const PLACES: readonly (readonly PrimeVector[])[] = Array.from({ length: 12 }, (_, keys) => toPlaces(keys));
