import { type Home, type PrimeVector, toDeviationCents, toFifths } from '../theory/index.js';
import { createIntervals, type IntervalChoices, toKeyClass } from './intervals.js';
import { areNear, createPairCost, type PairCost, toPlace } from './pair-cost.js';
import { PlaceSet } from './place-set.js';
import type { TunerSettings } from './settings.js';
import type { ChoiceWeights } from './weights.js';

/** A point the new notes are measured against, and how much it counts. */
export interface ContextPoint {
  readonly point: PrimeVector;
  /** The point's place in the flat table of pair costs. */
  readonly place: number;
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
  /** They and all their candidates lie so close together that the flat table of pair costs answers for every pair. */
  readonly near: boolean;
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
  /** The place of each of them in the flat table of pair costs. */
  readonly steps: readonly (readonly number[])[];
  readonly pairCost: PairCost;
  readonly weights: ChoiceWeights;
  readonly home: Home;
  /** Places that one ranking has tried already, within the table around its first context point. */
  readonly tried: PlaceSet;
}

/** @example createChooser(toSettings({ limit: 7 })) */
export function createChooser({
  limit,
  weights,
  home,
}: Pick<TunerSettings, 'limit' | 'weights' | 'home'>): Chooser {
  const intervals = createIntervals(limit);
  const steps = intervals.map((ratios) => ratios.map(toPlace));
  const pairCost = createPairCost(weights);
  return { intervals, steps, pairCost, weights, home, tried: new PlaceSet(pairCost.table.length) };
}

/** A place a new note may take, and what it costs against the surroundings. */
export interface Candidate {
  readonly point: PrimeVector;
  /** The point's place in the flat table of pair costs. */
  readonly place: number;
  /** How far the point stands from its key in 12 equal, in cents. */
  readonly deviationCents: number;
  readonly cost: number;
}

/** Candidates kept for each key class: the rest never won on real music. */
const MAX_CANDIDATES = 6;
/** Farthest a candidate lies from the point it is reached from, in steps of 3 or 5; see `createIntervals`. */
const MAX_INTERVAL_STEPS = 6;
/** Equal choices go to the one nearest home: a lean too weak to decide anything else, per cent of distance. */
const TIE_LEAN = 1e-7;

/** Whether a context and all its candidates lie close enough together for the flat table. */
export function isNear(context: readonly ContextPoint[]): boolean {
  return areNear(context, MAX_INTERVAL_STEPS);
}

/**
 * Where a new note of a key class may go: every point that has a fair ratio to something heard or remembered, with the
 * sum of its pair costs against all of that and the price of coming back elsewhere, of spelling and of home.
 *
 * @returns at least one candidate, cheapest first; of equals the simpler ratio
 */
export function rankCandidates(chooser: Chooser, surroundings: Surroundings, keyClass: number): Candidate[] {
  const { intervals, steps, pairCost, tried } = chooser;
  const { context, near } = surroundings;
  const price = createPrice(chooser, surroundings, keyClass);
  const ranked: Candidate[] = [];
  const middle = pairCost.centre - context[0].place;
  const trial: Trial = [0, 0, 0, 0, 0, 0];
  const triedFar = near ? undefined : new Set<number>();
  tried.clear();
  let bound = Infinity;
  for (let i = 0; i < context.length; i++) {
    const from = context[i];
    const distance = toKeyClass(keyClass - from.keyClass);
    const ways = steps[distance];
    for (let j = 0; j < ways.length; j++) {
      const place = from.place + ways[j];
      if (triedFar === undefined ? !tried.add(place + middle) : triedFar.has(place)) continue;
      triedFar?.add(place);
      const nearHarmony = near ? sumNear(pairCost, context, place, bound) : 0;
      if (nearHarmony >= bound) continue;
      goTo(trial, from.point, intervals[distance][j]);
      const deviationCents = toDeviationCents(trial);
      const harmony = near ? nearHarmony : sumFar(pairCost, context, trial);
      const cost = price(trial, deviationCents, harmony);
      if (cost >= bound) continue;
      const point: PrimeVector = [0, trial[1], trial[2], trial[3], trial[4], trial[5]];
      insert(ranked, { point, place, deviationCents, cost });
      if (ranked.length === MAX_CANDIDATES) bound = ranked[MAX_CANDIDATES - 1].cost;
    }
  }
  return ranked;
}

/** A point that is only tried: few of them become candidates. */
type Trial = [number, number, number, number, number, number];

/** Goes by a ratio of primes 3 and 5 from a point. */
function goTo(trial: Trial, from: PrimeVector, ratio: PrimeVector): void {
  trial[1] = from[1] + ratio[1];
  trial[2] = from[2] + ratio[2];
  trial[3] = from[3];
  trial[4] = from[4];
  trial[5] = from[5];
}

/** Keeps the list sorted and short: an equal goes behind, and from a full list the last falls out. */
function insert(ranked: Candidate[], candidate: Candidate): void {
  if (ranked.length < MAX_CANDIDATES) ranked.push(candidate);
  let at = ranked.length - 1;
  for (; at > 0 && ranked[at - 1].cost > candidate.cost; at--) ranked[at] = ranked[at - 1];
  ranked[at] = candidate;
}

/** Pair costs of a place against the context, by the flat table; given up, as too dear, once they reach `bound`. */
function sumNear(
  { table, centre }: PairCost,
  context: readonly ContextPoint[],
  place: number,
  bound: number,
): number {
  const from = place + centre;
  let cost = 0;
  for (let i = 0; i < context.length && cost < bound; i++) {
    cost += context[i].weight * table[from - context[i].place];
  }
  return cost;
}

/** The same for a context that is too far apart for the table: after a drift in it, or with a frame moved by a 7. */
function sumFar(pairCost: PairCost, context: readonly ContextPoint[], point: PrimeVector): number {
  let cost = 0;
  for (const heard of context) cost += heard.weight * pairCost.between(point, heard.point);
  return cost;
}

/**
 * What one point costs a new note of a key class: the same sum {@link rankCandidates} ranks by, for a point of one's own.
 * @example costAt(chooser, surroundings, 4, candidate.point)  // candidate.cost
 */
export function costAt(
  chooser: Chooser,
  surroundings: Surroundings,
  keyClass: number,
  point: PrimeVector,
): number {
  const { context, near } = surroundings;
  const harmony =
    near && areNear([...context, { point }], 0)
      ? sumNear(chooser.pairCost, context, toPlace(point), Infinity)
      : sumFar(chooser.pairCost, context, point);
  return createPrice(chooser, surroundings, keyClass)(point, toDeviationCents(point), harmony);
}

/** What is added to the harmony of a point of the key class: the price of coming back elsewhere, of spelling and home. */
function createPrice(
  { weights, home }: Chooser,
  { last, fifthsMean, offsetCents, homeLean }: Surroundings,
  keyClass: number,
): (point: PrimeVector, deviationCents: number, harmony: number) => number {
  const before = last[keyClass];
  const beforeCents = before === undefined ? 0 : toDeviationCents(before.point);
  const fading = before === undefined ? 0 : Math.exp(-before.ageSeconds / weights.returnSeconds);
  const returnPrice = weights.returnPrice * fading;
  const fifths = fifthsMean + weights.fifthsBias;
  const homeCents = home.deviationCents(keyClass) - offsetCents;
  return (point, deviationCents, harmony) => {
    let cost = harmony;
    const away = Math.abs(deviationCents - beforeCents);
    if (before !== undefined && away > 0.5) {
      cost += returnPrice * (weights.returnStep + Math.min(3, away / weights.returnCents));
    }
    cost += weights.fifthsPrice * Math.abs(toFifths(point) - fifths);
    return cost + (homeLean + TIE_LEAN) * Math.abs(deviationCents - homeCents);
  };
}
