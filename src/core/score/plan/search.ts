import type { PrimeVector } from '../../theory/index.js';
import { type Chooser, StrikeSearch, StruckClasses, Surroundings } from '../../tuner/index.js';
import { type Frontier, toFrontier } from './frontier.js';
import { fillSurroundings, type Spot, toEndPrice, toSpot } from './path-cost.js';
import type { PlanPath, PlanProblem } from './problem.js';

/** The cheapest path found. */
export interface SearchResult {
  readonly path: PlanPath;
  readonly cost: number;
  /** No cheaper path was pruned: this one is the best. */
  readonly isBest: boolean;
}

/**
 * Searches for the cheapest path through a piece, strike by strike: dynamic programming over the frontier, with a beam.
 * At each strike the choices are those of `StrikeSearch`, which keeps the tuner's promise: what can be pure, beside
 * what is held, is.
 *
 * @param homeLean the price of each note for each cent away from home
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
  /** By slot: its index in the running frontier. */
  readonly #at: Int32Array;
  readonly #surroundings: Surroundings;
  readonly #search: StrikeSearch;
  readonly #struck = new StruckClasses();
  readonly #fifths = new Int32Array(12);
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
    this.#frontier = toFrontier(problem, toLastSlots(problem));
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

  /** Extends every state by the choices of one strike; of states with equal futures the cheapest stays. */
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
      fillSurroundings(this.#surroundings, this.#problem, strike, spotOf, this.#seeds);
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

  /** Records a pruned cost. Costs never fall, so no continuation is cheaper. */
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

/** Slots needed at the end: the last chord, and the first slots of its key classes. */
function toLastSlots({ ending, slots, firstSlots }: PlanProblem): number[] {
  return ending.flatMap((slot) => [slot, firstSlots[slots[slot].keyClass]]);
}

/** One way of tuning the piece so far. */
export interface SearchState {
  readonly cost: number;
  /** The points of the frontier's slots, in its order. */
  readonly spots: readonly Spot[];
  readonly parent: SearchState | undefined;
  readonly places: readonly Spot[];
}

/** States by their frontier points. */
export class Pool {
  readonly states: SearchState[] = [];
  readonly #byHash = new Map<number, SearchState[]>();

  /** Adds a state, unless one at least as good has the same future; removes those it beats. */
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

/** Limits of a search. Larger ones come nearer the best; the time grows with `width`, and with `steps` in clusters. */
export interface Effort {
  /** How many ways of tuning the piece so far remain after each strike. */
  readonly width: number;
  /** How many choices of one strike extend each of them; at least 2. */
  readonly fan: number;
  /** A way this much dearer than the cheapest is pruned. */
  readonly slack: number;
  /** Places tried for the keys of one strike, so that no cluster takes long. */
  readonly steps: number;
}

/** Default limits: ten times as much finds plans a ten-thousandth cheaper in real music. */
export const DEFAULT_EFFORT: Effort = { width: 24, fan: 12, slack: 60, steps: 4000 };
