import { MAX_CANDIDATES, type Rankings } from './candidates.js';
import type { PairCost } from './pair-cost.js';

/** Key classes struck together. */
export interface Struck {
  /** How many key classes there are, and which, in ascending order: it doesn't matter which finger landed first. */
  readonly size: number;
  readonly classes: Int32Array;
  /** By key class: how many notes it has. */
  readonly counts: Int32Array;
}

/** What a choice costs beyond its parts. */
export interface WholeCost {
  /** 0 or more. `chosen` has the index of a candidate in the rankings, by key class. */
  of(struck: Struck, rankings: Rankings, chosen: Int32Array): number;
}

/** Bound on the search, so that no cluster takes long. Real chords need a few dozen steps. */
const MAX_STEPS = 500;
/** Rounds of the descent that gives the search its first bound. */
const MAX_SWEEPS = 6;
/** Sums closer than this are equal: what is left of floating point. */
const EQUAL = 1e-9;

/**
 * Places key classes struck together so that the sum of all costs is least: of each against the surroundings, and of
 * each pair among themselves. Descent, then branch and bound from there; at most `MAX_STEPS` steps, after which the best
 * so far stands. Of equal sums the one found first.
 *
 * One of these is used for choice after choice, so that choosing makes nothing.
 */
export class JointChoice {
  /** By key class: what was chosen, as an index in the rankings. */
  readonly chosen = new Int32Array(12);
  readonly #pairCost: PairCost;
  readonly #rankings: Rankings;
  // At hand for the inner loops: lists of the rankings and of the pair cost.
  readonly #table: Float64Array;
  readonly #centre: number;
  /** The least any ratio of so many keys can cost, at index 12 more: −12 to 11. */
  readonly #least: Float64Array;
  readonly #places: Int32Array;
  readonly #costs: Float64Array;
  readonly #sizes: Int32Array;
  #near = true;
  #struck: Struck = NOBODY;
  #wholeCost: WholeCost | undefined;
  /** The key classes, the most decided first: its wrong places are dearest, so they cut the most. */
  readonly #order = new Int32Array(12);
  /** By index in that order: the least that the key classes from there on can add to those before them. */
  readonly #rest = new Float64Array(13);
  /** By key class: which candidate is tried. */
  readonly #trial = new Int32Array(12);
  #bestCost = 0;
  #steps = 0;

  constructor(pairCost: PairCost, rankings: Rankings) {
    this.#pairCost = pairCost;
    this.#rankings = rankings;
    this.#table = pairCost.table;
    this.#centre = pairCost.centre;
    this.#least = Float64Array.from({ length: 24 }, (_, keys) => pairCost.least[keys % 12]);
    this.#places = rankings.places;
    this.#costs = rankings.costs;
    this.#sizes = rankings.sizes;
  }

  /**
   * @param struck    at least one key class, each of them ranked
   * @param wholeCost what a choice costs beyond the sum of its parts
   */
  choose(struck: Struck, wholeCost?: WholeCost): void {
    this.#struck = struck;
    this.#near = this.#rankings.surroundings.near;
    this.#wholeCost = wholeCost;
    this.#bestCost = Infinity;
    if (struck.size === 1) this.#chooseOne();
    else this.#chooseTogether();
  }

  /** The cheapest place of a key class struck by itself. */
  #chooseOne(): void {
    const { classes, counts } = this.#struck;
    const costs = this.#costs;
    const sizes = this.#sizes;
    const [one] = classes;
    const first = one * MAX_CANDIDATES;
    for (let at = first; at < first + sizes[one]; at++) {
      const own = counts[one] * costs[at];
      if (own >= this.#bestCost - EQUAL) return;
      this.#trial[one] = at;
      this.#offer(own);
    }
  }

  #chooseTogether(): void {
    this.#offer(this.#descend());
    this.#sort();
    this.#boundRest();
    // Nothing can be cheaper than every part at its cheapest.
    if (this.#bestCost <= this.#rest[0] + EQUAL) return;
    this.#steps = 0;
    this.#search(0, 0);
  }

  /** Takes what is tried for the best, if with the cost of the whole it still is. */
  #offer(cost: number): void {
    let whole = cost;
    if (this.#wholeCost !== undefined) whole += this.#wholeCost.of(this.#struck, this.#rankings, this.#trial);
    if (whole >= this.#bestCost - EQUAL) return;
    this.#bestCost = whole;
    const { size, classes } = this.#struck;
    for (let i = 0; i < size; i++) this.chosen[classes[i]] = this.#trial[classes[i]];
  }

  /** A good start: each key class takes its best place beside the others, until none can better itself. */
  #descend(): number {
    const { size, classes, counts } = this.#struck;
    for (let sweep = 0; sweep < MAX_SWEEPS; sweep++) {
      let moved = sweep === 0;
      for (let i = 0; i < size; i++) {
        // In the first round only the key classes before have a place yet.
        const best = this.#bestBeside(i, sweep === 0 ? i : size);
        moved ||= best !== this.#trial[classes[i]];
        this.#trial[classes[i]] = best;
      }
      if (!moved) break;
    }
    let cost = 0;
    for (let i = 0; i < size; i++) {
      const at = this.#trial[classes[i]];
      cost += counts[classes[i]] * (this.#costs[at] + this.#besides(i, at, i));
    }
    return cost;
  }

  /** The cheapest candidate of the i-th key class beside the first `until`; of equals the first. */
  #bestBeside(i: number, until: number): number {
    const costs = this.#costs;
    const sizes = this.#sizes;
    const one = this.#struck.classes[i];
    const first = one * MAX_CANDIDATES;
    const least = this.#leastBesides(i, until);
    let best = first;
    let bestCost = Infinity;
    for (let at = first; at < first + sizes[one]; at++) {
      if (costs[at] + least >= bestCost) break;
      const cost = costs[at] + this.#besides(i, at, until);
      if (cost < bestCost - EQUAL) {
        best = at;
        bestCost = cost;
      }
    }
    return best;
  }

  /** Pair costs of a candidate of the i-th key class beside the first `until`, itself left out. */
  #besides(i: number, at: number, until: number): number {
    const { classes, counts } = this.#struck;
    let cost = 0;
    for (let j = 0; j < until; j++) {
      if (j !== i) cost += counts[classes[j]] * this.#between(at, this.#trial[classes[j]]);
    }
    return cost;
  }

  /** The least those can be. */
  #leastBesides(i: number, until: number): number {
    const { classes, counts } = this.#struck;
    let cost = 0;
    for (let j = 0; j < until; j++) {
      if (j !== i) cost += counts[classes[j]] * this.#least[classes[i] - classes[j] + 12];
    }
    return cost;
  }

  /** What two candidates cost together. */
  #between(a: number, b: number): number {
    if (this.#near) return this.#table[this.#places[a] - this.#places[b] + this.#centre];
    return this.#pairCost.between(this.#rankings.pointAt(a), this.#rankings.pointAt(b));
  }

  /** Puts the most decided key class first; of equals the one that stands first. */
  #sort(): void {
    const { size, classes } = this.#struck;
    const order = this.#order;
    for (let i = 0; i < size; i++) {
      const its = this.#decidedness(classes[i]);
      let at = i;
      for (; at > 0 && this.#decidedness(order[at - 1]) < its; at--) order[at] = order[at - 1];
      order[at] = classes[i];
    }
  }

  #decidedness(one: number): number {
    const costs = this.#costs;
    const sizes = this.#sizes;
    const first = one * MAX_CANDIDATES;
    return sizes[one] < 2 ? Infinity : this.#struck.counts[one] * (costs[first + 1] - costs[first]);
  }

  /** Bounds what is to come in the search: each pair counted at its cheapest ratio. */
  #boundRest(): void {
    const { size, counts } = this.#struck;
    this.#rest[size] = 0;
    for (let i = size - 1; i >= 0; i--) {
      const one = this.#order[i];
      let cost = this.#costs[one * MAX_CANDIDATES];
      for (let j = 0; j < i; j++) {
        const other = this.#order[j];
        cost += counts[other] * this.#least[one - other + 12];
      }
      this.#rest[i] = this.#rest[i + 1] + counts[one] * cost;
    }
  }

  /** Branch and bound over the key classes in their order, from a solution that is to be bettered. */
  #search(i: number, cost: number): void {
    const { size, counts } = this.#struck;
    if (i === size) {
      this.#offer(cost);
      return;
    }
    const costs = this.#costs;
    const sizes = this.#sizes;
    const one = this.#order[i];
    const rest = this.#rest[i + 1];
    const first = one * MAX_CANDIDATES;
    for (let at = first; at < first + sizes[one]; at++) {
      let sum = cost + counts[one] * costs[at];
      if (sum + rest >= this.#bestCost - EQUAL) return;
      if (++this.#steps > MAX_STEPS) return;
      for (let j = 0; j < i && sum + rest < this.#bestCost; j++) {
        const other = this.#order[j];
        sum += counts[one] * counts[other] * this.#between(at, this.#trial[other]);
      }
      if (sum + rest >= this.#bestCost - EQUAL) continue;
      this.#trial[one] = at;
      this.#search(i + 1, sum);
    }
  }
}

const NOBODY: Struck = { size: 0, classes: new Int32Array(12), counts: new Int32Array(12) };
