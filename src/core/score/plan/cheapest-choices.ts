import type { Chooser } from '../../tuner/index.js';
import type { Effort } from './effort.js';
import type { PricedSpot } from './surroundings.js';

/** What of it one strike is bound by. */
export type StrikeEffort = Pick<Effort, 'fan' | 'slack' | 'steps'>;

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

/**
 * The cheapest ways of placing classes struck together, among their candidates: at most `fan` of them, none dearer than
 * the cheapest by more than `slack`, found in `steps`. At least one, whatever the bounds.
 *
 * Depth first, cheapest candidates first, each branch cut as soon as it can't come in any more.
 */
export function findCheapestChoices(
  chooser: Chooser,
  classes: readonly OpenClass[],
  pairWeights: Float64Array,
  effort: StrikeEffort,
): CheapestChoices {
  const search = new Search(chooser, classes, pairWeights, effort);
  search.place(0, 0);
  return { choices: search.found, othersFrom: search.othersFrom };
}

class Search {
  readonly found: StrikeChoice[] = [];
  othersFrom = Infinity;
  readonly #chooser: Chooser;
  readonly #classes: readonly OpenClass[];
  readonly #pairWeights: Float64Array;
  readonly #effort: StrikeEffort;
  readonly #rest: number[];
  readonly #trial: PricedSpot[];
  #limit = Infinity;
  #steps = 0;

  constructor(
    chooser: Chooser,
    classes: readonly OpenClass[],
    pairWeights: Float64Array,
    effort: StrikeEffort,
  ) {
    this.#pairWeights = pairWeights;
    this.#chooser = chooser;
    this.#classes = classes;
    this.#effort = effort;
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
      if (++this.#steps > this.#effort.steps && this.found.length > 0) {
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
    const { fan, slack } = this.#effort;
    let at = found.length;
    while (at > 0 && found[at - 1].cost > cost) at--;
    found.splice(at, 0, { places: this.#trial.slice(), cost });
    if (at === 0) this.#limit = Math.min(this.#limit, cost + slack);
    if (found.length > fan) this.#dropLast();
    while (found.length > 1 && found[found.length - 1].cost >= this.#limit) this.#dropLast();
    if (found.length === fan) this.#limit = Math.min(this.#limit, found[found.length - 1].cost);
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
