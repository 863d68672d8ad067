import type { PrimeVector } from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { type Place, plus, type RigidPart } from './places.js';
import { toPairPrice } from './surroundings.js';

/** Limits of a search. */
export interface ChoiceEffort {
  /** How many of the cheapest choices are stored (a single one gets no cost), and how much dearer they may be. */
  readonly fan: number;
  readonly slack: number;
  /** How many places are tried, so that no cluster takes long. */
  readonly steps: number;
}

/** A place for each part, and what all of it costs. */
export interface PartChoice {
  readonly places: readonly Place[];
  readonly cost: number;
}

/** What is searched. */
export interface PartQuestion {
  readonly parts: readonly RigidPart[];
  /** Of each part, at least one. */
  readonly places: readonly (readonly Place[])[];
  /** Cost in any case. */
  readonly base: number;
  /** What a choice costs beyond its parts and pairs; 0 or more. */
  readonly wholeOf: ((places: readonly Place[]) => number) | undefined;
}

/** Closer sums are equal (floating point). */
const EQUAL = 1e-9;

/** By part and place: its cost beside the parts already placed. */
type Costs = readonly (readonly number[])[];

/**
 * Finds the cheapest places of parts that cost each other something, by branch and bound. Whenever a part is placed,
 * the cost of each place of the others is updated, which gives a lower bound. The next part is the most decided one.
 *
 * @example the first of the choices that are found is the cheapest
 */
export class PartSearch {
  readonly #chooser: Chooser;
  #question!: PartQuestion;
  #effort!: ChoiceEffort;
  /** By part and place: the points of its key classes. */
  #points: readonly (readonly (readonly PrimeVector[])[])[] = [];
  /** What two parts cost each other, each at one of its places; NaN until needed. */
  #pairs = new Float64Array(0);
  /** The first place of each part among all places, and how many there are. */
  #firsts: readonly number[] = [];
  #count = 0;
  #trial: Place[] = [];
  #steps = 0;
  #found: PartChoice[] = [];
  #limit = Infinity;
  #othersFrom = Infinity;

  constructor(chooser: Chooser) {
    this.#chooser = chooser;
  }

  /** No choice but those found last costs less than this. */
  get othersFrom(): number {
    return this.#othersFrom;
  }

  /** @returns cheapest first, at least one */
  find(question: PartQuestion, effort: ChoiceEffort): readonly PartChoice[] {
    const { parts, places, base } = question;
    this.#question = question;
    this.#effort = effort;
    this.#trial = places.map(([first]) => first);
    this.#steps = 0;
    this.#found = [];
    this.#limit = Infinity;
    this.#othersFrom = Infinity;
    this.#points = places.map((list, i) =>
      list.map(({ root }) => parts[i].steps.map((step) => plus(root, step))),
    );
    this.#countPlaces(places);
    const costs = places.map((list) => list.map(({ cost }) => cost));
    this.#place([...parts.keys()], costs, base);
    return this.#found;
  }

  /**
   * @param open parts that have no place yet
   * @param cost of those that have
   */
  #place(open: readonly number[], costs: Costs, cost: number): void {
    if (open.length === 0) {
      this.#keep(cost);
      return;
    }
    const part = toMostDecided(open, costs);
    const others = open.filter((one) => one !== part);
    const rest = toLeast(others, costs);
    const own = costs[part];
    const order = [...own.keys()].sort((a, b) => own[a] - own[b] || a - b);
    for (const at of order) {
      const sum = cost + own[at];
      if (this.#isOver(sum + rest)) continue;
      this.#trial[part] = this.#question.places[part][at];
      const beside = this.#tell(part, at, others, costs);
      if (others.length > 0 && this.#isOver(sum + toLeast(others, beside))) continue;
      this.#steps++;
      this.#place(others, beside, sum);
    }
  }

  /** Whether a lower bound rules a choice out. */
  #isOver(least: number): boolean {
    const isDone = this.#steps >= this.#effort.steps && this.#found.length > 0;
    if (least < this.#limit - EQUAL && !isDone) return false;
    this.#othersFrom = Math.min(this.#othersFrom, least);
    return true;
  }

  /** Adds what a placed part costs beside the places of the others. */
  #tell(part: number, at: number, others: readonly number[], costs: Costs): Costs {
    const mine = (this.#firsts[part] + at) * this.#count;
    const beside = costs.slice();
    for (const other of others) {
      const its = costs[other];
      const sums = new Array<number>(its.length);
      const from = mine + this.#firsts[other];
      for (let to = 0; to < its.length; to++) {
        if (Number.isNaN(this.#pairs[from + to])) this.#pairs[from + to] = this.#toPair(part, at, other, to);
        sums[to] = its[to] + this.#pairs[from + to];
      }
      beside[other] = sums;
    }
    return beside;
  }

  #toPair(part: number, at: number, other: number, to: number): number {
    let sum = 0;
    for (const point of this.#points[other][to])
      for (const mine of this.#points[part][at]) sum += toPairPrice(this.#chooser, point, mine);
    return sum;
  }

  #countPlaces(places: readonly (readonly Place[])[]): void {
    let count = 0;
    this.#firsts = places.map(({ length }) => {
      count += length;
      return count - length;
    });
    this.#count = count;
    if (this.#pairs.length < count * count) this.#pairs = new Float64Array(2 * count * count);
    this.#pairs.fill(NaN, 0, count * count);
  }

  #keep(cost: number): void {
    const { fan, slack } = this.#effort;
    const found = this.#found;
    const { wholeOf } = this.#question;
    const whole = wholeOf === undefined ? cost : cost + wholeOf(this.#trial);
    if (whole >= this.#limit - EQUAL) {
      this.#othersFrom = Math.min(this.#othersFrom, whole);
      return;
    }
    let at = found.length;
    while (at > 0 && found[at - 1].cost > whole) at--;
    found.splice(at, 0, { places: this.#trial.slice(), cost: whole });
    const dearest = found[0].cost + slack;
    while (found.length > fan || (found.length > 1 && found[found.length - 1].cost >= dearest))
      this.#othersFrom = Math.min(this.#othersFrom, found.pop()!.cost);
    this.#limit = found.length === fan ? Math.min(dearest, found[fan - 1].cost) : dearest;
  }
}

/** Lower bound: each part at its cheapest place. */
function toLeast(parts: readonly number[], costs: Costs): number {
  let sum = 0;
  for (const part of parts) {
    let least = Infinity;
    for (const cost of costs[part]) if (cost < least) least = cost;
    sum += least;
  }
  return sum;
}

/** The part with the largest difference between its two best places: its wrong places cut the most. */
function toMostDecided(open: readonly number[], costs: Costs): number {
  let most = open[0];
  let widest = -1;
  for (const part of open) {
    let first = Infinity;
    let second = Infinity;
    for (const cost of costs[part]) {
      if (cost < first) {
        second = first;
        first = cost;
      } else if (cost < second) second = cost;
    }
    if (second - first <= widest) continue;
    most = part;
    widest = second - first;
  }
  return most;
}
