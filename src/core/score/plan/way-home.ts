import {
  invert,
  multiply,
  type PrimeVector,
  sameClass,
  toDeviationCents,
  UNISON,
} from '../../theory/index.js';
import type { Chooser, TunerSettings } from '../../tuner/index.js';
import { type PullBand, type Ties, toPulledMeans, toStrikeMeans, toTies } from './chord-means.js';
import { toCommaSteps } from './comma-steps.js';
import { toPlanDrift } from './plan-drift.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { findReturnPlaces, type ReturnQuestion } from './return-places.js';
import { toReturnPrices } from './return-prices.js';
import { LEAVING_WEIGHT } from './to-problem.js';

/** A strike at which a piece gives back some of its drift, and how far it moves everything from there on. */
export interface Homecoming {
  readonly strike: number;
  readonly comma: PrimeVector;
  readonly cents: number;
  /** How many notes are held over it: they keep their pitch, and are impure against what is new. */
  readonly held: number;
}

/** The returns that make a piece end where it began. */
export interface WayHome {
  /** In order; none where there is no drift. */
  readonly returns: readonly Homecoming[];
  /** Their cost beside the ratios themselves, by the tuner's prices. */
  readonly cost: number;
}

/** What else brings the pitch home. */
export type HomeSettings = Pick<TunerSettings, 'strategy'> & PullBand;

/** The way home of a piece without drift. */
export const NO_WAY: WayHome = { returns: [], cost: 0 };

/**
 * The cheapest way for a piece to end where it began with the same harmony: the drift of its ending is given back comma
 * by comma, each where it costs least. At a strike at which nothing is held, only memory can notice a return. Where
 * there is room each return is separate: no note, and none that comes back at the next strike, spans two.
 *
 * @param frames   points of the slots in primes 3 and 5, which decide harmony
 * @param points   points with higher primes, whose drift is given back
 * @param settings what else brings the pitch home, and how
 */
export function findWayHome(
  problem: PlanProblem,
  chooser: Chooser,
  frames: PlanPath,
  points: PlanPath,
  settings: HomeSettings,
): WayHome {
  const { commas: drift, references } = toPlanDrift(problem, points);
  if (sameClass(drift, UNISON)) return NO_WAY;
  const ties = toTies(problem);
  const isOpen = toOpen(problem, points, drift, references);
  const room = problem.strikes.filter((_, at) => isOpen(at)).length;
  const steps = deal(toCommaSteps(drift), room);
  const costs = toPrices(problem, chooser, frames, steps[0], settings, ties);
  const question = {
    stepCents: steps.map(toDeviationCents),
    prices: costs.map((cost, at) => (isOpen(at) ? Math.max(0, cost) : Infinity)),
    before: ties.oldest,
    awayCents: toAway(problem, frames, chooser),
    seconds: toSeconds(problem),
  };
  const places = findPulledPlaces(question, settings, ties) ?? findPlaces(question);
  const returns = places.map((strike, i) => ({
    strike,
    comma: steps[i],
    cents: question.stepCents[i],
    held: ties.held[strike],
  }));
  const way = { returns, cost: places.reduce((sum, strike) => sum + costs[strike], 0) };
  return isHome(problem, points, way) ? way : (findOneReturn(problem, points, drift, costs, ties) ?? way);
}

function isHome(problem: PlanProblem, points: PlanPath, way: WayHome): boolean {
  return sameClass(toPlanDrift(problem, takeWayHome(problem, points, way)).commas, UNISON);
}

/** How many strikes before the end are tried, one by one. */
const MOST_TRIED = 100;

/** Where so little comes back that separate returns don't show: all in one, as late as it shows. */
function findOneReturn(
  problem: PlanProblem,
  points: PlanPath,
  drift: PrimeVector,
  costs: Float64Array,
  { held }: Ties,
): WayHome | undefined {
  const comma = invert(drift);
  const last = problem.strikes.length - 1;
  for (let strike = last; strike > Math.max(0, last - MOST_TRIED); strike--) {
    const one = { strike, comma, cents: toDeviationCents(comma), held: held[strike] };
    const way = { returns: [one], cost: costs[strike] };
    if (isHome(problem, points, way)) return way;
  }
  return undefined;
}

/** The cheapest separate places; without room for them, the cheapest at any strikes. */
function findPlaces(question: ReturnQuestion): number[] {
  const crowded = { ...question, before: question.before.map((_, at) => at - 1) };
  return findReturnPlaces(question) ?? findReturnPlaces(crowded)!;
}

/**
 * Under `pull`, the places at which the music is farthest from home in spite of it. Only where nothing has to be held
 * over them: there the offset makes up for a return past home. Undefined elsewhere.
 */
function findPulledPlaces(
  question: ReturnQuestion,
  settings: HomeSettings,
  { held }: Ties,
): number[] | undefined {
  if (settings.strategy !== 'pull') return undefined;
  const { awayCents, seconds } = question;
  const places = findPlaces({ ...question, awayCents: toPulledMeans(awayCents, seconds, settings) });
  return places.some((strike) => held[strike] > 0) ? undefined : places;
}

/** A path with the way home applied: each slot moved by all returns up to its strike. */
export function takeWayHome({ slots }: PlanProblem, path: PlanPath, { returns }: WayHome): PlanPath {
  let given = UNISON;
  let next = 0;
  return slots.map(({ strike }, slot) => {
    for (; next < returns.length && returns[next].strike <= strike; next++)
      given = multiply(given, returns[next].comma);
    return given === UNISON ? path[slot] : multiply(path[slot], given);
  });
}

/** The share of each strike in the way home, in cents. */
export function toReturnCents({ strikes }: PlanProblem, { returns }: WayHome): Float64Array {
  const returned = new Float64Array(strikes.length);
  for (const { strike, cents } of returns) returned[strike] += cents;
  return returned;
}

/**
 * The strikes at which a return brings the last chord nearer: before its drifted key classes sound for the last time, and
 * where it shows, since as many key classes come back as are held. Where no strike suits all of them, those that suit
 * most; where none does, the last at which one of them comes back.
 */
function toOpen(
  { ending, slots, strikes, firstSlots }: PlanProblem,
  points: PlanPath,
  drift: PrimeVector,
  references: readonly (PrimeVector | undefined)[],
): (at: number) => boolean {
  const counts = new Int32Array(strikes.length);
  let last = 0;
  for (const slot of ending) {
    const reference = references[slots[slot].keyClass];
    if (reference === undefined || !sameClass(multiply(reference, drift), points[slot])) continue;
    if (firstSlots[slots[slot].keyClass] !== slot) last = Math.max(last, slots[slot].strike);
    for (let at = 1; at <= slots[slot].strike; at++) counts[at] += 1;
  }
  strikes.forEach(({ context, first, end }, at) => {
    const isBack = (slot: number) => slots[slot].count > 0 && firstSlots[slots[slot].keyClass] < first;
    const struck = new Set<number>();
    for (let slot = first; slot < end; slot++) if (isBack(slot)) struck.add(slots[slot].keyClass);
    const held = new Set<number>();
    for (const { slot, keyClass, binding } of context)
      if (binding > LEAVING_WEIGHT && slots[slot].count > 0 && !struck.has(keyClass)) held.add(keyClass);
    if (struck.size === 0 || struck.size < held.size) counts[at] = 0;
  });
  const most = counts.reduce((a, b) => Math.max(a, b), 0);
  if (most === 0 && last > 0) return (at) => at === last;
  return (at) => counts[at] === most;
}

/** Joins steps, if there are more than places for them. */
function deal(steps: readonly PrimeVector[], most: number): readonly PrimeVector[] {
  if (steps.length <= most) return steps;
  const dealt = new Array<PrimeVector>(most).fill(UNISON);
  steps.forEach((step, i) => {
    const at = Math.floor((i * most) / steps.length);
    dealt[at] = multiply(dealt[at], step);
  });
  return dealt;
}

/**
 * Where the common offset follows, it makes up for a return in memory, so only held notes count. Under `pull`, which
 * never jumps under a held note, that is only so where none is held.
 */
function toPrices(
  problem: PlanProblem,
  chooser: Chooser,
  frames: PlanPath,
  comma: PrimeVector,
  { strategy }: HomeSettings,
  { held }: Ties,
): Float64Array {
  const prices = toReturnPrices(problem, chooser, frames, comma, strategy !== 'anchored');
  if (strategy !== 'pull') return prices;
  return prices.map((cost, at) => (held[at] > 0 ? cost : 0));
}

/** How far each strike is from the first one, in cents. */
function toAway(problem: PlanProblem, frames: PlanPath, { home }: Chooser): Float64Array {
  const means = toStrikeMeans(problem, frames, { home, held: 'follow' });
  return means.map((cents) => cents - means[0]);
}

/** The time from each strike to the next. */
function toSeconds({ strikes, notes }: PlanProblem): Float64Array {
  const end = notes.reduce((latest, { endedMs }) => Math.max(latest, endedMs), 0);
  return Float64Array.from(strikes, ({ atMs }, at) => ((strikes[at + 1]?.atMs ?? end) - atMs) / 1000);
}
