import type { PrimeVector } from '../../theory/index.js';
import { type Chooser, StrikeSearch, StruckClasses, Surroundings } from '../../tuner/index.js';
import { type Frontier, toFrontier } from './frontier.js';
import { hearStrike, type Spot, toEndPrice, toSpot } from './path-cost.js';
import type { PlanPath, PlanProblem } from './problem.js';

/** The cheapest path that was found. */
export interface SearchResult {
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
): SearchResult {
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

  run(): SearchResult {
    let states: SearchState[] = [{ cost: 0, spots: [], parent: undefined, places: [] }];
    for (let at = 0; at < this.#problem.strikes.length; at++) {
      const before = at === 0 ? new Int32Array(0) : this.#frontier.slots[at - 1];
      for (let i = 0; i < before.length; i++) this.#at[before[i]] = i;
      states = this.#carryOn(states, at);
    }
    return this.#finish(states);
  }

  /** Every state carried on with the choices of one strike; what comes to the same is kept once, at its cheapest. */
  #carryOn(states: readonly SearchState[], at: number): SearchState[] {
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
  #prune(states: SearchState[]): SearchState[] {
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

  #finish(states: readonly SearchState[]): SearchResult {
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
    for (let state: SearchState | undefined = best; state !== undefined; state = state.parent)
      chosen.push(state.places);
    const path = chosen.reverse().flatMap((places) => places.map(({ point }) => point));
    return { path, cost: least, isBest: this.#othersFrom >= least };
  }
}

/** Slots needed at the end: the last chord, and where its key classes first stood. */
function toKept({ ending, slots, firstSlots }: PlanProblem): number[] {
  return ending.flatMap((slot) => [slot, firstSlots[slots[slot].keyClass]]);
}

/** One way of tuning the piece so far. */
export interface SearchState {
  readonly cost: number;
  /** Where the frontier's slots stand, in its order. */
  readonly spots: readonly Spot[];
  readonly parent: SearchState | undefined;
  readonly places: readonly Spot[];
}

/** States by what still matters of them. */
export class Pool {
  readonly states: SearchState[] = [];
  readonly #byHash = new Map<number, SearchState[]>();

  /** Adds a state, unless one that is at least as good has the same future; takes out those it is better than. */
  add(state: SearchState): void {
    const hash = toHash(state.spots);
    const alike = this.#byHash.get(hash);
    if (alike === undefined) {
      this.#byHash.set(hash, [state]);
      this.states.push(state);
      return;
    }
    for (const other of alike) {
      if (!haveSameSpots(other, state)) continue;
      if (other.cost <= state.cost) return;
      alike[alike.indexOf(other)] = state;
      this.states[this.states.indexOf(other)] = state;
      return;
    }
    alike.push(state);
    this.states.push(state);
  }
}

function toHash(spots: readonly Spot[]): number {
  let hash = 0;
  for (let i = 0; i < spots.length; i++) hash = (Math.imul(hash, 31) + spots[i].place) | 0;
  return hash;
}

function haveSameSpots(a: SearchState, b: SearchState): boolean {
  for (let i = 0; i < a.spots.length; i++) if (a.spots[i].place !== b.spots[i].place) return false;
  return true;
}

/** How much a plan looks at. The more, the nearer the best; the time grows with `width`, and with `steps` in clusters. */
export interface Effort {
  /** Ways of tuning the piece so far that are kept after each strike. */
  readonly width: number;
  /** Choices of one strike that each of them is carried on with; at least 2. */
  readonly fan: number;
  /** A way dearer than the cheapest by more than this is given up. */
  readonly slack: number;
  /** Places tried for the keys of one strike, so that no cluster takes long. */
  readonly steps: number;
}

/** As much as is looked at: ten times as much finds what is a ten-thousandth cheaper in real music. */
export const DEFAULT_EFFORT: Effort = { width: 24, fan: 12, slack: 60, steps: 4000 };
