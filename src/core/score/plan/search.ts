import type { PrimeVector } from '../../theory/index.js';
import { type Chooser, StrikeSearch, StruckClasses, Surroundings } from '../../tuner/index.js';
import type { Effort } from './effort.js';
import { type Frontier, toFrontier } from './frontier.js';
import { toEndPrice } from './path-cost.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { Pool, type State } from './states.js';
import { hearStrike, type Spot, toSpot } from './surroundings.js';

/** The cheapest path that was found. */
export interface Found {
  readonly path: PlanPath;
  readonly cost: number;
  /** Nothing that could have been cheaper was given up: there is no cheaper path. */
  readonly isBest: boolean;
}

/**
 * Looks for the cheapest path through a piece, strike by strike: dynamic programming over what still matters, with a
 * beam. At each strike it goes on with the choices of `StrikeSearch`, so it keeps the tuner's promise: what can be pure,
 * beside what is held, is.
 *
 * @param homeLean what each note costs for each cent it stands away from home
 */
export function searchPlan(
  problem: PlanProblem,
  chooser: Chooser,
  seeds: readonly PrimeVector[],
  effort: Effort,
  homeLean = 0,
): Found {
  return new Beam(problem, chooser, seeds, effort, homeLean).run();
}

class Beam {
  readonly #problem: PlanProblem;
  readonly #chooser: Chooser;
  readonly #seeds: readonly PrimeVector[];
  readonly #effort: Effort;
  readonly #frontier: Frontier;
  /** Where each slot of the running frontier stands in it. */
  readonly #at: Int32Array;
  readonly #surroundings: Surroundings;
  readonly #search: StrikeSearch;
  readonly #struck = new StruckClasses();
  readonly #fifths = new Int32Array(12);
  /** The cheapest that was given up. */
  #othersFrom = Infinity;

  constructor(
    problem: PlanProblem,
    chooser: Chooser,
    seeds: readonly PrimeVector[],
    effort: Effort,
    homeLean: number,
  ) {
    this.#problem = problem;
    this.#chooser = chooser;
    this.#seeds = seeds;
    this.#effort = effort;
    this.#frontier = toFrontier(problem, toKept(problem));
    this.#at = new Int32Array(problem.slots.length).fill(-1);
    this.#surroundings = new Surroundings(chooser);
    this.#surroundings.homeLean = homeLean;
    this.#search = new StrikeSearch(this.#surroundings);
  }

  run(): Found {
    let states: State[] = [{ cost: 0, spots: [], parent: undefined, places: [] }];
    for (let at = 0; at < this.#problem.strikes.length; at++) {
      const before = at === 0 ? new Int32Array(0) : this.#frontier.slots[at - 1];
      for (let i = 0; i < before.length; i++) this.#at[before[i]] = i;
      states = this.#carryOn(states, at);
    }
    return this.#finish(states);
  }

  /** Every state carried on with the choices of one strike; what comes to the same is kept once, at its cheapest. */
  #carryOn(states: readonly State[], at: number): State[] {
    const { strikes, slots } = this.#problem;
    const strike = strikes[at];
    const struck = slots.slice(strike.first, strike.end);
    this.#struck.count(struck);
    for (const { keyClass, fifths } of struck) this.#fifths[keyClass] = fifths;
    const pool = new Pool();
    const from = this.#frontier.from[at];
    let limit = Infinity;
    for (const parent of states) {
      const spotOf = (slot: number) => parent.spots[this.#at[slot]];
      hearStrike(this.#surroundings, this.#problem, strike, spotOf, this.#seeds);
      const { choices, othersFrom } = this.#search.find(this.#struck, this.#fifths, this.#effort);
      this.#leave(parent.cost + othersFrom);
      for (const { points, cost: its } of choices) {
        const cost = parent.cost + its;
        if (cost > limit) {
          this.#leave(cost);
          continue;
        }
        limit = Math.min(limit, cost + this.#effort.slack);
        const places = struck.map(({ keyClass }) => toSpot(points[keyClass]));
        const spots = new Array<Spot>(from.length);
        for (let i = 0; i < from.length; i++)
          spots[i] = from[i] >= 0 ? parent.spots[from[i]] : places[-1 - from[i]];
        pool.add({ cost, spots, parent, places });
      }
    }
    return this.#prune(pool.states);
  }

  /** Keeps the cheapest states. */
  #prune(states: State[]): State[] {
    const { width, slack } = this.#effort;
    states.sort((a, b) => a.cost - b.cost);
    const limit = (states[0]?.cost ?? 0) + slack;
    let count = 0;
    while (count < states.length && count < width && states[count].cost <= limit) count++;
    for (let i = count; i < states.length; i++) this.#leave(states[i].cost);
    states.length = count;
    return states;
  }

  /** Notes what is given up. Costs never fall, so what comes of it is no cheaper. */
  #leave(cost: number): void {
    if (cost < this.#othersFrom) this.#othersFrom = cost;
  }

  #finish(states: readonly State[]): Found {
    let best = states[0];
    let least = Infinity;
    const end = this.#frontier.slots.at(-1) ?? new Int32Array(0);
    for (let i = 0; i < end.length; i++) this.#at[end[i]] = i;
    for (const state of states) {
      const pointOf = (slot: number) => state.spots[this.#at[slot]].point;
      const cost = state.cost + toEndPrice(this.#problem, this.#chooser, pointOf);
      if (cost >= least) continue;
      least = cost;
      best = state;
    }
    const chosen: (readonly Spot[])[] = [];
    for (let state: State | undefined = best; state !== undefined; state = state.parent)
      chosen.push(state.places);
    const path = chosen.reverse().flatMap((places) => places.map(({ point }) => point));
    return { path, cost: least, isBest: this.#othersFrom >= least };
  }
}

/** Slots needed at the end: the last chord, and where its key classes first stood. */
function toKept({ ending, slots, firstSlots }: PlanProblem): number[] {
  return ending.flatMap((slot) => [slot, firstSlots[slots[slot].keyClass]]);
}
