import type { PrimeVector } from '../theory/index.js';
import type { Candidate } from './candidates.js';
import { toKeyClass } from './intervals.js';
import type { PairCost } from './pair-cost.js';

/** A key class to be placed: how many notes it has, and where they may go, cheapest first. */
export interface ClassChoice {
  readonly keyClass: number;
  readonly count: number;
  readonly candidates: readonly Candidate[];
}

/** What a choice costs beyond its parts. */
export interface WholeCost {
  /** 0 or more. One candidate a class, in the order of the classes. */
  of(classes: readonly ClassChoice[], chosen: readonly Candidate[]): number;
}

const NOTHING_MORE: WholeCost = { of: () => 0 };

/** Bound on the search, so that no cluster takes long. Real chords need a few dozen steps. */
const MAX_STEPS = 500;
/** Rounds of the descent that gives the search its first bound. */
const MAX_SWEEPS = 6;
/** Sums closer than this are equal: what is left of floating point. */
const EQUAL = 1e-9;

/**
 * Places key classes struck together so that the sum of all costs is least: of each against the surroundings, and of
 * each pair among themselves. Descent, then branch and bound from there; at most `MAX_STEPS` steps, after which the best
 * so far stands.
 *
 * The order in which the notes arrived doesn't matter. Equal sums go to the point nearest home.
 *
 * @param classes   each key class once, in any order
 * @param near      what the surroundings of the candidates say: the flat table answers for every pair of them
 * @param wholeCost what a choice costs beyond the sum of its parts
 * @returns one point a class, octaves left out, in the order given
 */
export function chooseJointly(
  pairCost: PairCost,
  classes: readonly ClassChoice[],
  near: boolean,
  wholeCost: WholeCost = NOTHING_MORE,
): PrimeVector[] {
  if (classes.length === 1) return [chooseOne(classes[0], wholeCost).point];
  const ascending = isAscending(classes) ? classes : classes.toSorted((a, b) => a.keyClass - b.keyClass);
  const { table, centre } = pairCost;
  const between: Between = near
    ? (a, b) => table[a.place - b.place + centre]
    : (a, b) => pairCost.between(a.point, b.point);
  const start = descend(between, ascending);
  const startCost = start.cost + wholeCost.of(ascending, start.chosen);
  // The most decided first: its wrong places are dearest, so they cut the most.
  const placed = mostDecidedFirst(ascending);
  const rest = toRest(pairCost, placed);
  // Nothing can be cheaper than every part at its cheapest.
  if (startCost <= rest[0] + EQUAL) return inOrderOf(classes, ascending, start.chosen);
  const from = placed.map((one) => start.chosen[ascending.indexOf(one)]);
  const chosen = new Search(between, placed, rest, from, startCost, wholeCost).run();
  return inOrderOf(classes, placed, chosen);
}

/** The points of candidates that stand in the order of `placed`, in the order of `classes`. */
function inOrderOf(
  classes: readonly ClassChoice[],
  placed: readonly ClassChoice[],
  chosen: readonly Candidate[],
): PrimeVector[] {
  return classes.map((one, i) => chosen[placed[i] === one ? i : placed.indexOf(one)].point);
}

/** The cheapest place of a class struck by itself; of equals the first. */
function chooseOne(only: ClassChoice, wholeCost: WholeCost): Candidate {
  const { candidates, count } = only;
  const [classes, chosen] = [[only], [candidates[0]]];
  let best = candidates[0];
  let bestCost = Infinity;
  for (const candidate of candidates) {
    const own = count * candidate.cost;
    if (own >= bestCost - EQUAL) break;
    chosen[0] = candidate;
    const cost = own + wholeCost.of(classes, chosen);
    if (cost >= bestCost - EQUAL) continue;
    best = candidate;
    bestCost = cost;
  }
  return best;
}

function isAscending(classes: readonly ClassChoice[]): boolean {
  for (let i = 1; i < classes.length; i++) if (classes[i].keyClass < classes[i - 1].keyClass) return false;
  return true;
}

/** What two candidates cost together. */
type Between = (a: Candidate, b: Candidate) => number;

/** Of equals the one that stands first. */
function mostDecidedFirst(classes: readonly ClassChoice[]): ClassChoice[] {
  const sorted: ClassChoice[] = [];
  for (const one of classes) {
    const its = decidedness(one);
    let at = sorted.push(one) - 1;
    for (; at > 0 && decidedness(sorted[at - 1]) < its; at--) sorted[at] = sorted[at - 1];
    sorted[at] = one;
  }
  return sorted;
}

function decidedness({ candidates, count }: ClassChoice): number {
  return candidates.length < 2 ? Infinity : count * (candidates[1].cost - candidates[0].cost);
}

/** rest[i]: the least that classes i, i+1 … can add to those before them, each pair counted at its cheapest ratio. */
function toRest(pairCost: PairCost, classes: readonly ClassChoice[]): number[] {
  const rest = new Array<number>(classes.length + 1).fill(0);
  for (let i = classes.length - 1; i >= 0; i--) {
    const { keyClass, count, candidates } = classes[i];
    let least = candidates[0].cost;
    for (let j = 0; j < i; j++) {
      least += classes[j].count * pairCost.least[toKeyClass(keyClass - classes[j].keyClass)];
    }
    rest[i] = rest[i + 1] + count * least;
  }
  return rest;
}

/** A good start: each class takes its best place beside the others, until none can better itself. */
function descend(
  between: Between,
  classes: readonly ClassChoice[],
): { chosen: readonly Candidate[]; cost: number } {
  const size = classes.length;
  const chosen = new Array<Candidate>(size);
  for (let sweep = 0; sweep < MAX_SWEEPS; sweep++) {
    let moved = false;
    for (let i = 0; i < size; i++) {
      // In the first round only the classes before have a place yet.
      const best = bestBeside(between, classes, chosen, i, sweep === 0 ? i : size);
      moved ||= best !== chosen[i];
      chosen[i] = best;
    }
    if (!moved) break;
  }
  let cost = 0;
  for (let i = 0; i < size; i++) {
    cost += classes[i].count * chosen[i].cost + costBeside(between, classes, chosen, i, chosen[i], i);
  }
  return { chosen, cost };
}

/** The cheapest candidate of class i beside the first `until` classes; of equals the first. */
function bestBeside(
  between: Between,
  classes: readonly ClassChoice[],
  chosen: readonly Candidate[],
  i: number,
  until: number,
): Candidate {
  const { candidates, count } = classes[i];
  let best = candidates[0];
  let bestCost = Infinity;
  for (const candidate of candidates) {
    const own = count * candidate.cost;
    if (own >= bestCost) break;
    const cost = own + costBeside(between, classes, chosen, i, candidate, until);
    if (cost < bestCost - EQUAL) {
      best = candidate;
      bestCost = cost;
    }
  }
  return best;
}

/** Pair costs of class i at a candidate beside the first `until` classes, itself left out. */
function costBeside(
  between: Between,
  classes: readonly ClassChoice[],
  chosen: readonly Candidate[],
  i: number,
  candidate: Candidate,
  until: number,
): number {
  let cost = 0;
  for (let j = 0; j < until; j++) {
    if (j !== i) cost += classes[i].count * classes[j].count * between(candidate, chosen[j]);
  }
  return cost;
}

/** Branch and bound over classes in the order given, from a solution that is to be bettered. */
class Search {
  readonly #between: Between;
  readonly #classes: readonly ClassChoice[];
  /** See {@link toRest}. */
  readonly #rest: readonly number[];
  readonly #wholeCost: WholeCost;
  readonly #trial: Candidate[];
  #best: readonly Candidate[];
  #bestCost: number;
  #steps = 0;

  constructor(
    between: Between,
    classes: readonly ClassChoice[],
    rest: readonly number[],
    start: readonly Candidate[],
    startCost: number,
    wholeCost: WholeCost,
  ) {
    this.#between = between;
    this.#classes = classes;
    this.#rest = rest;
    this.#wholeCost = wholeCost;
    this.#trial = start.slice();
    this.#best = start;
    this.#bestCost = startCost;
  }

  run(): readonly Candidate[] {
    this.#place(0, 0);
    return this.#best;
  }

  #place(i: number, cost: number): void {
    if (i === this.#classes.length) {
      const whole = cost + this.#wholeCost.of(this.#classes, this.#trial);
      if (whole >= this.#bestCost - EQUAL) return;
      this.#bestCost = whole;
      this.#best = this.#trial.slice();
      return;
    }
    const { count, candidates } = this.#classes[i];
    const rest = this.#rest[i + 1];
    for (const candidate of candidates) {
      let sum = cost + count * candidate.cost;
      if (sum + rest >= this.#bestCost - EQUAL) return;
      if (++this.#steps > MAX_STEPS) return;
      for (let j = 0; j < i && sum + rest < this.#bestCost; j++) {
        sum += count * this.#classes[j].count * this.#between(candidate, this.#trial[j]);
      }
      if (sum + rest >= this.#bestCost - EQUAL) continue;
      this.#trial[i] = candidate;
      this.#place(i + 1, sum);
    }
  }
}
