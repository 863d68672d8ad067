import { multiply, type PrimeVector, sameClass, toDeviationCents, UNISON } from '../../theory/index.js';
import type { Chooser, TunerSettings } from '../../tuner/index.js';
import { type PullBand, type Ties, toPulledMeans, toStrikeMeans, toTies } from './chord-means.js';
import { toCommaSteps } from './comma-steps.js';
import { toEndDrift } from './path-cost.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { findReturnPlaces, type ReturnQuestion } from './return-places.js';
import { toReturnPrices } from './return-prices.js';

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
  const drift = toEndDrift(problem, (slot) => points[slot]);
  if (sameClass(drift, UNISON)) return NO_WAY;
  const ties = toTies(problem);
  const isOpen = toOpen(problem, points, drift);
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
  return { returns, cost: places.reduce((sum, strike) => sum + costs[strike], 0) };
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
 * The strikes at which a return brings the last chord nearer: after its drifted key classes were first heard, and
 * before they sound for the last time. Where no strike suits all of them, those that suit most.
 */
function toOpen(
  { ending, slots, strikes, firstSlots }: PlanProblem,
  points: PlanPath,
  drift: PrimeVector,
): (at: number) => boolean {
  const counts = new Int32Array(strikes.length);
  for (const slot of ending) {
    const first = firstSlots[slots[slot].keyClass];
    if (!sameClass(multiply(points[first], drift), points[slot])) continue;
    for (let at = slots[first].strike + 1; at <= slots[slot].strike; at++) counts[at] += 1;
  }
  const most = counts.reduce((a, b) => Math.max(a, b), 0);
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
