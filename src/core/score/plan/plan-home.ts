import { type PrimeVector, toDeviationCents } from '../../theory/index.js';
import { createChooser, createSeeds, type TunerSettings } from '../../tuner/index.js';
import { WIDEST_CENTS } from './comma-steps.js';
import { type InflectedPath, inflectPath } from './harmonic-chords.js';
import { toPathCost } from './path-cost.js';
import { type ChoiceSettings, countReturns, type RatioPlan } from './plan-ratios.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { DEFAULT_EFFORT, type Effort, searchPlan } from './search.js';
import { findWayHome, type HomeSettings, takeWayHome, type WayHome } from './way-home.js';

/**
 * Prices of a cent away from home. Music that can cheaply avoid its drift does so at one of these. Where each chord is
 * tied to the next none of them helps, and only returns do.
 */
const LEANS = [0.003, 0.01, 0.03];

/** A plan that ends where it began: its ratios including the returns, and the returns. */
export interface HomePlan extends InflectedPath {
  readonly ratios: RatioPlan;
  readonly wayHome: WayHome;
}

/**
 * The cheapest plan found that ends where it began. It takes the best ratios, or some that prefer home, and then the
 * cheapest way home from the drift they leave.
 *
 * @param open     the best ratios for the piece, with any ending
 * @param choice   the limit 3 or 5, and a plan's own weights
 * @param settings those of the tuner: its limit gives the higher primes
 */
export function planHome(
  problem: PlanProblem,
  open: RatioPlan,
  choice: ChoiceSettings,
  settings: Pick<TunerSettings, 'limit'> & HomeSettings,
  effort: Effort = DEFAULT_EFFORT,
): HomePlan {
  const chooser = createChooser(choice);
  const seeds: readonly PrimeVector[] = createSeeds(choice.home, choice.limit);
  const toCost = (path: PlanPath) => toPathCost(problem, chooser, seeds, path);
  const bringHome = (path: PlanPath, cost: number) => {
    const inflected = inflectPath(problem, path, settings.limit);
    const wayHome = findWayHome(problem, chooser, inflected.frames, inflected.points, settings);
    return { path, inflected, wayHome, cost: cost + wayHome.cost };
  };
  let best = bringHome(open.path, open.cost);
  if (best.wayHome.returns.length > 0) {
    for (const lean of LEANS) {
      const found = searchPlan(problem, chooser, seeds, effort, lean);
      const other = bringHome(found.path, toCost(found.path));
      if (other.cost >= best.cost) continue;
      const taken = takeWayHome(problem, other.path, other.wayHome);
      if (toWidestMove(problem, taken, open.path) > WIDEST_CENTS) continue;
      best = other;
    }
  }
  const { wayHome, inflected } = best;
  const path = takeWayHome(problem, best.path, wayHome);
  const cost = toCost(path);
  return {
    ratios: { ...open, path, cost, returns: countReturns(problem, path), isBest: false },
    wayHome,
    frames: takeWayHome(problem, inflected.frames, wayHome),
    points: takeWayHome(problem, inflected.points, wayHome),
  };
}

/**
 * The widest move, in cents, between neighbouring strikes, that a path makes beyond the other path's: how much farther
 * any note of the later strike is from any sounding at the earlier one.
 *
 * @example
 * const problem = { strikes: [{ first: 0, end: 1 }, { first: 1, end: 2 }], slots: [{}, {}], notes: [] };
 * toWidestMove(problem, [ratio('1/1'), ratio('81/80')], [ratio('1/1'), ratio('1/1')])  // 21.506
 */
export function toWidestMove(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  asked: PlanPath,
): number {
  const until = new Int32Array(slots.length);
  for (const note of notes) until[note.slot] = Math.max(until[note.slot], note.until);
  const beyond = path.map((point, slot) => toDeviationCents(point) - toDeviationCents(asked[slot]));
  let widest = 0;
  let sounding: number[] = [];
  strikes.forEach(({ first, end }, at) => {
    const before = sounding;
    sounding = before.filter((slot) => until[slot] > at);
    for (let slot = first; slot < end; slot++) sounding.push(slot);
    for (let slot = first; slot < end; slot++) {
      for (const other of before) widest = Math.max(widest, Math.abs(beyond[slot] - beyond[other]));
    }
  });
  return widest;
}
