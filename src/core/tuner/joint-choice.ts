import { type Home, type PrimeVector, toDeviationCents, toFifths } from '../theory/index.js';
import { type IntervalChoices, toKeyClass } from './intervals.js';
import type { PairCost } from './pair-cost.js';
import type { ChoiceWeights } from './weights.js';

/** A point the new notes are measured against, and how much it counts. */
export interface ContextPoint {
  readonly point: PrimeVector;
  readonly keyClass: number;
  readonly weight: number;
}

/** Where a key class is, or was last, and how long ago in seconds (0 while it sounds). */
export interface LastPlace {
  readonly point: PrimeVector;
  readonly ageSeconds: number;
}

/** What new notes are measured against. It stays the same while the notes of one strike arrive. */
export interface Surroundings {
  /** Everything heard or remembered; never empty. */
  readonly context: readonly ContextPoint[];
  /** By key class: where it was last. */
  readonly last: readonly (LastPlace | undefined)[];
  /** Mean place of the music on the line of fifths. */
  readonly fifthsMean: number;
  /** The common offset, in cents, and the price of a cent away from home. */
  readonly offsetCents: number;
  readonly homeLean: number;
}

/** The parts of a choice that stay the same from note to note. */
export interface Chooser {
  readonly intervals: IntervalChoices;
  readonly pairCost: PairCost;
  readonly weights: ChoiceWeights;
  readonly home: Home;
}

/** A place a new note may take, and what it costs against the surroundings. */
export interface Candidate {
  readonly point: PrimeVector;
  readonly cost: number;
}

/** A key class to be placed: how many notes it has, and where they may go, cheapest first. */
export interface ClassChoice {
  readonly keyClass: number;
  readonly count: number;
  readonly candidates: readonly Candidate[];
}

/** Candidates kept for each key class: the rest never won on real music. */
const MAX_CANDIDATES = 6;
/** Bound on the search, so that no cluster takes long. Real chords need a few dozen steps. */
const MAX_STEPS = 500;
/** Rounds of the descent that gives the search its first bound. */
const MAX_SWEEPS = 6;
/** Sums closer than this are equal: what is left of floating point. */
const EQUAL = 1e-9;
/** Equal choices go to the one nearest home: a lean too weak to decide anything else, per cent of distance. */
const TIE_LEAN = 1e-7;

/**
 * Where a new note of a key class may go: every point that has a fair ratio to something heard or remembered, with the
 * sum of its pair costs against all of that and the price of coming back elsewhere, of spelling and of home.
 *
 * @returns at least one candidate, cheapest first; of equals the simpler ratio
 */
export function rankCandidates(chooser: Chooser, surroundings: Surroundings, keyClass: number): Candidate[] {
  const { intervals } = chooser;
  const points: PrimeVector[] = [];
  for (const { point, keyClass: from } of surroundings.context) {
    const ratios = intervals[toKeyClass(keyClass - from)];
    for (let i = 0; i < ratios.length; i++) addOnce(points, point, ratios[i]);
  }
  const ranked: Candidate[] = [];
  for (let i = 0; i < points.length; i++) {
    const bound = ranked.length < MAX_CANDIDATES ? Infinity : ranked[MAX_CANDIDATES - 1].cost;
    const cost = costOf(chooser, surroundings, keyClass, points[i], bound);
    if (cost < bound) insert(ranked, { point: points[i], cost });
  }
  return ranked;
}

function addOnce(points: PrimeVector[], from: PrimeVector, ratio: PrimeVector): void {
  const three = from[1] + ratio[1];
  const five = from[2] + ratio[2];
  for (let i = 0; i < points.length; i++) {
    const p = points[i];
    if (p[1] === three && p[2] === five && p[3] === from[3] && p[4] === from[4] && p[5] === from[5]) return;
  }
  points.push([0, three, five, from[3], from[4], from[5]]);
}

/** Keeps the list sorted and short; an equal goes behind. */
function insert(ranked: Candidate[], candidate: Candidate): void {
  let at = ranked.length;
  while (at > 0 && ranked[at - 1].cost > candidate.cost) at--;
  ranked.splice(at, 0, candidate);
  if (ranked.length > MAX_CANDIDATES) ranked.length = MAX_CANDIDATES;
}

/** What a point costs against the surroundings; given up, as too dear, once it is sure to reach `bound`. */
function costOf(
  chooser: Chooser,
  surroundings: Surroundings,
  keyClass: number,
  point: PrimeVector,
  bound: number,
): number {
  const { pairCost, weights, home } = chooser;
  const { context } = surroundings;
  let cost = 0;
  for (let i = 0; i < context.length; i++) {
    const { weight, point: heard } = context[i];
    cost += weight * pairCost.between(point, heard);
    if (cost >= bound) return Infinity;
  }

  const deviation = toDeviationCents(point);
  const last = surroundings.last[keyClass];
  if (last !== undefined) {
    const away = Math.abs(deviation - toDeviationCents(last.point));
    if (away > 0.5) {
      const fading = Math.exp(-last.ageSeconds / weights.returnSeconds);
      cost += weights.returnPrice * fading * (weights.returnStep + Math.min(3, away / weights.returnCents));
    }
  }
  cost += weights.fifthsPrice * Math.abs(toFifths(point) - surroundings.fifthsMean - weights.fifthsBias);
  const fromHome = Math.abs(deviation + surroundings.offsetCents - home.deviationCents(keyClass));
  return cost + (surroundings.homeLean + TIE_LEAN) * fromHome;
}

/**
 * Places key classes struck together so that the sum of all costs is least: of each against the surroundings, and of
 * each pair among themselves. Descent, then branch and bound from there; at most `MAX_STEPS` steps, after which the best
 * so far stands.
 *
 * The order in which the notes arrived doesn't matter. Equal sums go to the point nearest home.
 *
 * @param classes each key class once, in any order
 * @returns one point a class, octaves left out, in the order given
 */
export function chooseJointly(pairCost: PairCost, classes: readonly ClassChoice[]): PrimeVector[] {
  if (classes.length === 1) return [classes[0].candidates[0].point];
  const ascending = classes.slice().sort((a, b) => a.keyClass - b.keyClass);
  const start = descend(pairCost, ascending);
  let placed: readonly ClassChoice[] = ascending;
  let points: readonly PrimeVector[] = start.points;
  // Nothing can be cheaper than every part at its cheapest.
  if (start.cost > leastCost(pairCost, ascending, 0) + EQUAL) {
    // The most decided first: its wrong places are dearest, so they cut the most.
    placed = ascending.slice().sort((a, b) => decidedness(b) - decidedness(a) || a.keyClass - b.keyClass);
    const from = placed.map((one) => start.points[ascending.indexOf(one)]);
    points = new Search(pairCost, placed, from, start.cost).run();
  }
  return classes.map((one) => points[placed.indexOf(one)]);
}

function decidedness({ candidates, count }: ClassChoice): number {
  return candidates.length < 2 ? Infinity : count * (candidates[1].cost - candidates[0].cost);
}

/** The least that classes `from` and on can add to those before them, each pair counted at its cheapest ratio. */
function leastCost(pairCost: PairCost, classes: readonly ClassChoice[], from: number): number {
  let least = 0;
  for (let i = from; i < classes.length; i++) {
    const { keyClass, count, candidates } = classes[i];
    least += count * candidates[0].cost;
    for (let j = 0; j < i; j++) {
      least += count * classes[j].count * pairCost.least[toKeyClass(keyClass - classes[j].keyClass)];
    }
  }
  return least;
}

/** A good start: each class takes its best place beside the others, until none can better itself. */
function descend(
  pairCost: PairCost,
  classes: readonly ClassChoice[],
): { points: PrimeVector[]; cost: number } {
  const size = classes.length;
  const points = new Array<PrimeVector>(size);
  for (let sweep = 0; sweep < MAX_SWEEPS; sweep++) {
    let moved = false;
    for (let i = 0; i < size; i++) {
      // In the first round only the classes before have a place yet.
      const best = bestBeside(pairCost, classes, points, i, sweep === 0 ? i : size);
      moved ||= best.point !== points[i];
      points[i] = best.point;
    }
    if (!moved) break;
  }
  let cost = 0;
  for (let i = 0; i < size; i++) {
    const { candidates, count } = classes[i];
    for (const candidate of candidates) if (candidate.point === points[i]) cost += count * candidate.cost;
    cost += costBeside(pairCost, classes, points, i, points[i], i);
  }
  return { points, cost };
}

/** The cheapest candidate of class i beside the first `until` classes; of equals the first. */
function bestBeside(
  pairCost: PairCost,
  classes: readonly ClassChoice[],
  points: readonly PrimeVector[],
  i: number,
  until: number,
): Candidate {
  const { candidates, count } = classes[i];
  let best = candidates[0];
  let bestCost = Infinity;
  for (const candidate of candidates) {
    const own = count * candidate.cost;
    if (own >= bestCost) break;
    const cost = own + costBeside(pairCost, classes, points, i, candidate.point, until);
    if (cost < bestCost - EQUAL) {
      best = candidate;
      bestCost = cost;
    }
  }
  return best;
}

/** Pair costs of class i at a point beside the first `until` classes, itself left out. */
function costBeside(
  pairCost: PairCost,
  classes: readonly ClassChoice[],
  points: readonly PrimeVector[],
  i: number,
  point: PrimeVector,
  until: number,
): number {
  let cost = 0;
  for (let j = 0; j < until; j++) {
    if (j !== i) cost += classes[i].count * classes[j].count * pairCost.between(point, points[j]);
  }
  return cost;
}

/** Branch and bound over classes in the order given, from a solution that is to be bettered. */
class Search {
  readonly #pairCost: PairCost;
  readonly #classes: readonly ClassChoice[];
  /** rest[i]: the least that classes i, i+1 … can still add. */
  readonly #rest: readonly number[];
  readonly #trial: PrimeVector[];
  #best: readonly PrimeVector[];
  #bestCost: number;
  #steps = 0;

  constructor(
    pairCost: PairCost,
    classes: readonly ClassChoice[],
    start: readonly PrimeVector[],
    startCost: number,
  ) {
    this.#pairCost = pairCost;
    this.#classes = classes;
    this.#trial = start.slice();
    this.#best = start;
    this.#bestCost = startCost;
    this.#rest = Array.from({ length: classes.length + 1 }, (_, i) => leastCost(pairCost, classes, i));
  }

  run(): readonly PrimeVector[] {
    this.#place(0, 0);
    return this.#best;
  }

  #place(i: number, cost: number): void {
    if (i === this.#classes.length) {
      this.#bestCost = cost;
      this.#best = this.#trial.slice();
      return;
    }
    const { count, candidates } = this.#classes[i];
    const rest = this.#rest[i + 1];
    for (const { point, cost: own } of candidates) {
      let sum = cost + count * own;
      if (sum + rest >= this.#bestCost - EQUAL) return;
      if (++this.#steps > MAX_STEPS) return;
      for (let j = 0; j < i && sum + rest < this.#bestCost; j++) {
        sum += count * this.#classes[j].count * this.#pairCost.between(point, this.#trial[j]);
      }
      if (sum + rest >= this.#bestCost - EQUAL) continue;
      this.#trial[i] = point;
      this.#place(i + 1, sum);
    }
  }
}
