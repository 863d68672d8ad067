import type { Chooser } from '../../tuner/index.js';
import type { PricedSpot } from './surroundings.js';

/** A class to be placed: how many notes it has, and where it may go, cheapest first. */
export interface OpenClass {
  readonly keyClass: number;
  readonly count: number;
  readonly candidates: readonly PricedSpot[];
}

/** A place for every class of a strike, and what all of it costs. */
export interface StrikeChoice {
  readonly places: readonly PricedSpot[];
  readonly cost: number;
}

/** The cheapest choices of one strike, and a bound for what was left out. */
export interface CheapestChoices {
  /** Cheapest first. */
  readonly choices: readonly StrikeChoice[];
  /** No other choice costs less than this; Infinity where there is no other. */
  readonly othersFrom: number;
}

/** Bound on the search of one strike, so that no cluster takes long. */
const MAX_STEPS = 4000;

/**
 * The cheapest ways of placing classes struck together, among their candidates: at most `most` of them, none dearer than
 * the cheapest by more than `slack`. At least one, whatever the bounds.
 *
 * Depth first, cheapest candidates first, each branch cut as soon as it can't come in any more.
 */
export function findCheapestChoices(
  chooser: Chooser,
  classes: readonly OpenClass[],
  pairWeights: Float64Array,
  most: number,
  slack: number,
): CheapestChoices {
  const search = new Search(chooser, classes, pairWeights, most, slack);
  search.place(0, 0);
  return { choices: search.found, othersFrom: search.othersFrom };
}

class Search {
  readonly found: StrikeChoice[] = [];
  othersFrom = Infinity;
  readonly #chooser: Chooser;
  readonly #classes: readonly OpenClass[];
  readonly #pairWeights: Float64Array;
  readonly #most: number;
  readonly #slack: number;
  readonly #rest: number[];
  readonly #trial: PricedSpot[];
  #limit = Infinity;
  #steps = 0;

  constructor(
    chooser: Chooser,
    classes: readonly OpenClass[],
    pairWeights: Float64Array,
    most: number,
    slack: number,
  ) {
    this.#pairWeights = pairWeights;
    this.#chooser = chooser;
    this.#classes = classes;
    this.#most = most;
    this.#slack = slack;
    this.#trial = new Array<PricedSpot>(classes.length);
    this.#rest = toRest(chooser, classes, pairWeights);
  }

  place(i: number, cost: number): void {
    if (i === this.#classes.length) {
      this.#keep(cost);
      return;
    }
    const { count, candidates } = this.#classes[i];
    const { pairCost } = this.#chooser;
    const rest = this.#rest[i + 1];
    for (const candidate of candidates) {
      let sum = cost + count * candidate.cost;
      // Candidates come cheapest first, but one added to the list may stand behind dearer ones.
      if (sum + rest >= this.#limit) {
        this.othersFrom = Math.min(this.othersFrom, sum + rest);
        continue;
      }
      if (++this.#steps > MAX_STEPS && this.found.length > 0) {
        this.othersFrom = Math.min(this.othersFrom, sum + rest);
        continue;
      }
      for (let j = 0; j < i; j++) {
        const pair = pairCost.between(candidate.point, this.#trial[j].point);
        sum += this.#pairWeights[i * this.#classes.length + j] * pair;
      }
      if (sum + rest >= this.#limit) {
        this.othersFrom = Math.min(this.othersFrom, sum + rest);
        continue;
      }
      this.#trial[i] = candidate;
      this.place(i + 1, sum);
    }
  }

  #keep(cost: number): void {
    const { found } = this;
    let at = found.length;
    while (at > 0 && found[at - 1].cost > cost) at--;
    found.splice(at, 0, { places: this.#trial.slice(), cost });
    if (at === 0) this.#limit = Math.min(this.#limit, cost + this.#slack);
    if (found.length > this.#most) this.#dropLast();
    while (found.length > 1 && found[found.length - 1].cost >= this.#limit) this.#dropLast();
    if (found.length === this.#most) this.#limit = Math.min(this.#limit, found[found.length - 1].cost);
  }

  #dropLast(): void {
    this.othersFrom = Math.min(this.othersFrom, this.found.pop()!.cost);
  }
}

/** The least that classes i, i+1 … can add to those before them: each candidate, and each pair, at its cheapest. */
function toRest({ pairCost }: Chooser, classes: readonly OpenClass[], pairWeights: Float64Array): number[] {
  const rest = new Array<number>(classes.length + 1).fill(0);
  for (let i = classes.length - 1; i >= 0; i--) {
    const { keyClass, count, candidates } = classes[i];
    let least = count * Math.min(...candidates.map(({ cost }) => cost));
    for (let j = 0; j < i; j++)
      least +=
        pairWeights[i * classes.length + j] * pairCost.least[(keyClass - classes[j].keyClass + 12) % 12];
    rest[i] = rest[i + 1] + least;
  }
  return rest;
}
