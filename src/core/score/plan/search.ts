import { type PrimeVector, sameClass, toDeviationCents, UNISON } from '../../theory/index.js';
import { type Chooser, Rankings, Surroundings } from '../../tuner/index.js';
import { type CheapestChoices, findCheapestChoices, type OpenClass } from './cheapest-choices.js';
import type { Effort } from './effort.js';
import { type Frontier, toFrontier } from './frontier.js';
import { toHomeLevel } from './home-level.js';
import { toEndDrift, toEndPrice } from './path-cost.js';
import type { PlanPath, PlanProblem, PlanStrike } from './problem.js';
import { Pool, type State } from './states.js';
import { Hearing, moveFifthsMean, type PricedSpot, pairsAmong, type Spot, toSpot } from './surroundings.js';

/** The cheapest path that was found. */
export interface Found {
  readonly path: PlanPath;
  readonly cost: number;
  /** No path among the candidates that wasn't looked at to its end costs less than this. */
  readonly othersFrom: number;
}

/** Farthest from where it began that ways home are still looked for, in commas. */
const MOST_LEVELS = 3;
/** Share of the beam that is kept for each level, where the piece must end where it began. */
const LEVEL_SHARE = 0.25;

/**
 * Looks for the cheapest path through a piece, strike by strike: dynamic programming over what still matters, with a
 * beam. Where the beam never had to give anything up the result is the best there is.
 *
 * @param restFrom for each strike, what it and all after it cost at least
 * @param atHome   whether the piece must end where it began; undefined if no such path was found
 */
export function searchPlan(
  problem: PlanProblem,
  chooser: Chooser,
  seeds: readonly PrimeVector[],
  effort: Effort,
  restFrom: readonly number[],
  atHome: boolean,
): Found | undefined {
  return new Beam(problem, chooser, seeds, effort, restFrom, atHome).run();
}

class Beam {
  readonly #problem: PlanProblem;
  readonly #chooser: Chooser;
  readonly #rankings: Rankings;
  readonly #seeds: readonly PrimeVector[];
  readonly #effort: Effort;
  readonly #restFrom: readonly number[];
  readonly #atHome: boolean;
  readonly #frontier: Frontier;
  /** Where each slot of the running frontier stands in it. */
  readonly #at: Int32Array;
  /** Most a fifth's difference in the mean place on the line of fifths can cost from here to the end. */
  readonly #meanPrice: number;
  #othersFrom = Infinity;

  constructor(
    problem: PlanProblem,
    chooser: Chooser,
    seeds: readonly PrimeVector[],
    effort: Effort,
    restFrom: readonly number[],
    atHome: boolean,
  ) {
    this.#problem = problem;
    this.#chooser = chooser;
    this.#rankings = new Rankings(new Surroundings(chooser));
    this.#seeds = seeds;
    this.#effort = effort;
    this.#restFrom = restFrom;
    this.#atHome = atHome;
    this.#frontier = toFrontier(problem, toKept(problem, atHome));
    this.#at = new Int32Array(problem.slots.length).fill(-1);
    this.#meanPrice = toMeanPrice(problem, chooser);
  }

  run(): Found | undefined {
    let states: State[] = [{ cost: 0, fifthsMean: 0, spots: [], parent: undefined, places: [], level: 0 }];
    for (let at = 0; at < this.#problem.strikes.length; at++) {
      const before = at === 0 ? new Int32Array(0) : this.#frontier.slots[at - 1];
      for (let i = 0; i < before.length; i++) this.#at[before[i]] = i;
      states = this.#carryOn(states, at);
    }
    return this.#finish(states);
  }

  /** Every state carried on with the choices of one strike; what comes to the same is kept once, at its cheapest. */
  #carryOn(states: readonly State[], at: number): State[] {
    const strike = this.#problem.strikes[at];
    const { slack } = this.#effort;
    const rest = this.#restFrom[at + 1];
    const pool = new Pool(this.#meanPrice);
    const from = this.#frontier.from[at];
    const least = new Map<number, number>();
    for (const parent of states) {
      const { choices, othersFrom } = this.#choose(parent, strike);
      this.#leave(parent.cost + othersFrom + rest);
      for (const { places, cost: its } of choices) {
        const cost = parent.cost + its;
        const level = this.#atHome ? this.#toLevel(parent, strike, places) : 0;
        const before = least.get(level) ?? Infinity;
        if (cost > before + slack) {
          this.#leave(cost + rest);
          continue;
        }
        least.set(level, Math.min(before, cost));
        const spots = new Array<Spot>(from.length);
        for (let i = 0; i < from.length; i++)
          spots[i] = from[i] >= 0 ? parent.spots[from[i]] : places[-1 - from[i]];
        pool.add({ cost, fifthsMean: this.#toMean(parent, strike, places), spots, parent, places, level });
      }
    }
    return this.#prune(pool.states, rest);
  }

  /** Keeps the cheapest states; where the way home matters, some of each level near it, whatever they cost. */
  #prune(states: State[], rest: number): State[] {
    const { width, slack } = this.#effort;
    states.sort((a, b) => a.cost - b.cost);
    const counts = new Map<number, number>();
    const limit = (states[0]?.cost ?? 0) + slack;
    const kept: State[] = [];
    for (const state of states) {
      const count = counts.get(state.level) ?? 0;
      counts.set(state.level, count + 1);
      const isCheap = kept.length < width && state.cost <= limit;
      const isWayHome =
        this.#atHome && Math.abs(state.level) <= MOST_LEVELS && count < Math.ceil(LEVEL_SHARE * width);
      if (isCheap || isWayHome) kept.push(state);
      else this.#leave(state.cost + rest);
    }
    return kept;
  }

  /** A bound for what is given up. */
  #leave(bound: number): void {
    if (bound < this.#othersFrom) this.#othersFrom = bound;
  }

  #toMean({ fifthsMean }: State, strike: PlanStrike, places: readonly Spot[]): number {
    let mean = fifthsMean;
    places.forEach(({ point }, i) => {
      mean = moveFifthsMean(mean, point, this.#problem.slots[strike.first + i].count, this.#chooser.weights);
    });
    return mean;
  }

  #choose(state: State, strike: PlanStrike): CheapestChoices {
    const spotOf = (slot: number) => state.spots[this.#at[slot]];
    const hearing = new Hearing(this.#problem, this.#rankings, strike, spotOf, this.#seeds, state.fifthsMean);
    const classes: OpenClass[] = [];
    for (let slot = strike.first; slot < strike.end; slot++) {
      const { keyClass, count } = this.#problem.slots[slot];
      classes.push({ keyClass, count, candidates: hearing.rank(slot) });
    }
    if (!this.#atHome || strike.first === 0)
      return findCheapestChoices(this.#chooser, classes, strike.pairWeights, this.#effort);
    return this.#chooseWithHome(state, strike, hearing, classes);
  }

  /** The cheapest choices, and the one that puts every key class where it first stood. */
  #chooseWithHome(
    state: State,
    strike: PlanStrike,
    hearing: Hearing,
    classes: readonly OpenClass[],
  ): CheapestChoices {
    const homes: PricedSpot[] = [];
    const wider = classes.map((one, i) => {
      const first = this.#problem.firstSlots[one.keyClass];
      const { candidates } = one;
      const spot = first < strike.first ? state.spots[this.#at[first]] : candidates[0];
      const known = candidates.find(({ place }) => place === spot.place);
      const cost = known?.cost ?? hearing.costAt(strike.first + i, spot.point);
      const home = known ?? { ...toSpot(spot.point), deviationCents: toDeviationCents(spot.point), cost };
      homes[i] = home;
      if (known !== undefined) return one;
      return { ...one, candidates: [...candidates, home].sort((a, b) => a.cost - b.cost) };
    });
    const { choices, othersFrom } = findCheapestChoices(
      this.#chooser,
      wider,
      strike.pairWeights,
      this.#effort,
    );
    if (choices.some(({ places }) => places.every(({ place }, i) => place === homes[i].place)))
      return { choices, othersFrom };
    const alone = homes.reduce((sum, { cost }, i) => sum + classes[i].count * cost, 0);
    const cost = alone + pairsAmong(this.#chooser, strike, homes);
    return { choices: [...choices, { places: homes, cost }], othersFrom };
  }

  #toLevel(state: State, strike: PlanStrike, places: readonly Spot[]): number {
    const spotOf = (slot: number) => state.spots[this.#at[slot]];
    return toHomeLevel(this.#problem, strike, places, spotOf, state.level);
  }

  #finish(states: readonly State[]): Found | undefined {
    let best: State | undefined;
    let least = Infinity;
    const end = this.#frontier.slots.at(-1) ?? new Int32Array(0);
    for (let i = 0; i < end.length; i++) this.#at[end[i]] = i;
    for (const state of states) {
      const pointOf = (slot: number) => state.spots[this.#at[slot]].point;
      if (this.#atHome && !sameClass(toEndDrift(this.#problem, pointOf), UNISON)) continue;
      const cost = state.cost + toEndPrice(this.#problem, this.#chooser, pointOf);
      if (cost >= least) continue;
      least = cost;
      best = state;
    }
    if (best === undefined) return undefined;
    const chosen: (readonly Spot[])[] = [];
    for (let state: State | undefined = best; state !== undefined; state = state.parent)
      chosen.push(state.places);
    const path = chosen.reverse().flatMap((places) => places.map(({ point }) => point));
    return { path, cost: least, othersFrom: this.#othersFrom };
  }
}

/** Slots needed at the end: the last chord, and where its key classes first stood; on the way home, where all did. */
function toKept({ ending, slots, firstSlots }: PlanProblem, atHome: boolean): number[] {
  if (atHome) return [...ending, ...firstSlots.filter((slot) => slot >= 0)];
  return ending.flatMap((slot) => [slot, firstSlots[slots[slot].keyClass]]);
}

/**
 * What a difference of one fifth in the mean place can make from here to the end, at most: it fades with every note, by
 * the share of one.
 */
function toMeanPrice({ strikes, slots }: PlanProblem, { weights }: Chooser): number {
  const { fifthsPrice, fifthsShare } = weights;
  let most = 1;
  for (const { first, end } of strikes) {
    let notes = 0;
    for (let slot = first; slot < end; slot++) notes += slots[slot].count;
    most = Math.max(most, notes);
  }
  return fifthsPrice / (fifthsShare * (1 - fifthsShare) ** (most - 1));
}
