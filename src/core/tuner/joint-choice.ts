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

/** What has to be chosen: key classes struck together, against what can be heard or is remembered. */
export interface ChoiceRequest {
  /** Key classes 0..11 to be placed, each once, ascending. */
  readonly classes: readonly number[];
  /** How many notes each of them has. */
  readonly counts: readonly number[];
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

interface Candidate {
  readonly point: PrimeVector;
  /** Cost against the context, for all notes of the class. */
  readonly cost: number;
}

/** Candidates kept for each key class: the rest never won on real music. */
const MAX_CANDIDATES = 10;
/** Bound on the search, so that no cluster takes long. Real chords need a few dozen steps. */
const MAX_STEPS = 4000;
/** Equal choices go to the one nearest home: a lean too weak to decide anything else, per cent of distance. */
const TIE_LEAN = 1e-7;

/**
 * Places key classes struck together so that the sum of all pair costs is least: among themselves, against everything
 * heard or remembered, and for coming back elsewhere. Branch and bound over each class's candidates.
 *
 * The order of notes and of context doesn't matter. Equal sums go to the point nearest home, then to the first in
 * the order of `createIntervals` (the simpler ratio).
 *
 * @returns one point a class, octaves left out
 */
export function chooseJointly(chooser: Chooser, request: ChoiceRequest): PrimeVector[] {
  const { classes, counts } = request;
  const { between, least } = chooser.pairCost;
  const size = classes.length;
  const candidates = classes.map((keyClass, i) => rankCandidates(chooser, request, keyClass, counts[i]));

  // rest[i]: the least that classes i, i+1 … can still add, each pair counted at its cheapest ratio.
  const rest = new Array<number>(size + 1).fill(0);
  for (let i = size - 1; i >= 0; i--) {
    rest[i] = rest[i + 1] + candidates[i][0].cost;
    for (let j = 0; j < i; j++) rest[i] += counts[i] * counts[j] * least[classes[i] - classes[j]];
  }

  const chosen = new Array<PrimeVector>(size);
  let best: PrimeVector[] = [];
  let bestCost = Infinity;
  let steps = 0;
  const place = (i: number, cost: number): void => {
    if (i === size) {
      bestCost = cost;
      best = chosen.slice();
      return;
    }
    for (const candidate of candidates[i]) {
      if (steps++ > MAX_STEPS && best.length > 0) return;
      let sum = cost + candidate.cost;
      for (let j = 0; j < i; j++) sum += counts[i] * counts[j] * between(candidate.point, chosen[j]);
      if (sum + rest[i + 1] >= bestCost) continue;
      chosen[i] = candidate.point;
      place(i + 1, sum);
    }
  };
  place(0, 0);
  return best;
}

function rankCandidates(
  chooser: Chooser,
  request: ChoiceRequest,
  keyClass: number,
  count: number,
): Candidate[] {
  const { intervals } = chooser;
  const points: PrimeVector[] = [];
  for (const { point, keyClass: from } of request.context) {
    for (const ratio of intervals[toKeyClass(keyClass - from)]) addOnce(points, point, ratio);
  }
  const ranked = points.map((point) => ({
    point,
    cost: count * contextCost(chooser, request, keyClass, point),
  }));
  ranked.sort((a, b) => a.cost - b.cost);
  if (ranked.length > MAX_CANDIDATES) ranked.length = MAX_CANDIDATES;
  return ranked;
}

function addOnce(points: PrimeVector[], from: PrimeVector, ratio: PrimeVector): void {
  const three = from[1] + ratio[1];
  const five = from[2] + ratio[2];
  for (const p of points) {
    if (p[1] === three && p[2] === five && p[3] === from[3] && p[4] === from[4] && p[5] === from[5]) return;
  }
  points.push([0, three, five, from[3], from[4], from[5]]);
}

/** What a point would cost: its distance to all context, the price of coming back elsewhere, of spelling, of home. */
function contextCost(chooser: Chooser, request: ChoiceRequest, keyClass: number, point: PrimeVector): number {
  const { pairCost, weights, home } = chooser;
  let cost = 0;
  for (const entry of request.context) cost += entry.weight * pairCost.between(point, entry.point);

  const deviation = toDeviationCents(point);
  const last = request.last[keyClass];
  if (last !== undefined) {
    const away = Math.abs(deviation - toDeviationCents(last.point));
    if (away > 0.5) {
      const fading = Math.exp(-last.ageSeconds / weights.returnSeconds);
      cost += weights.returnPrice * fading * (weights.returnStep + Math.min(3, away / weights.returnCents));
    }
  }
  cost += weights.fifthsPrice * Math.abs(toFifths(point) - request.fifthsMean - weights.fifthsBias);
  const fromHome = Math.abs(deviation + request.offsetCents - home.deviationCents(keyClass));
  return cost + (request.homeLean + TIE_LEAN) * fromHome;
}
