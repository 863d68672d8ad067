import type { Track } from '../../midi/index.js';
import type { Guide, Strategy, TunerSettings } from '../../tuner/index.js';
import type { PartMap } from '../parts.js';
import { inflectPath } from './harmonic-chords.js';
import { planOffset } from './plan-offset.js';
import { planRatios, type RatioPlan, toPlanWeights } from './plan-ratios.js';
import { rehearse } from './rehearse.js';
import { toShiftPrice } from './shift-price.js';
import { toLivePath, toProblem } from './to-problem.js';

/** What is wanted of a plan. */
export interface PlanWish {
  /** Whether the piece must end where it began, or may end elsewhere for a small price. */
  readonly end: 'open' | 'home';
  /** How many seconds of standing a cent away from home a move of a cent is worth, for one note. */
  readonly smoothSeconds: number;
  /** What a note that comes back elsewhere costs, in music where many do; stock where it isn't given. */
  readonly shiftPrice?: number;
}

/** The one place of the stock values. */
export const STOCK_PLAN: PlanWish = Object.freeze({ end: 'open', smoothSeconds: 10 });

/** A piece planned as a whole. */
export interface WholePlan {
  readonly wish: PlanWish;
  /** What the tuner is told. */
  readonly guide: Guide;
  readonly ratios: RatioPlan;
}

/**
 * Plans a whole piece: first the ratios in primes 3 and 5, then the higher primes, which come in by whole chords, then the
 * common offset over time. Under `free` the offset stays where the first chord puts it, and under `temper` each strike
 * settles as ever.
 *
 * @param toMs when a tick is due, in milliseconds
 */
export function planWhole(
  tracks: readonly Track[],
  parts: PartMap,
  toMs: (tick: number) => number,
  settings: TunerSettings,
  wish: PlanWish,
): WholePlan {
  const limit = settings.limit === 3 ? 3 : 5;
  const play = (strategy: Strategy) => rehearse(tracks, parts, toMs, { ...settings, strategy, limit });
  const own = play(settings.strategy);
  const problem = toProblem(own, toPlanWeights(settings.weights));
  const lives = [toLivePath(own, problem)];
  if (settings.strategy !== 'free') lives.push(toLivePath(play('free'), problem));
  const price = toShiftPrice(problem, lives[lives.length - 1], wish.shiftPrice);
  const weights = toPlanWeights(settings.weights, price);
  const ratios = planRatios(problem, lives, { home: settings.home, limit, weights }, wish.end);
  const { frames, points } = inflectPath(problem, ratios.path, settings.limit);
  const { strategy } = settings;
  const isSpread = strategy === 'pull' || strategy === 'anchored';
  const course = isSpread ? planOffset(problem, points, settings, wish.smoothSeconds) : undefined;
  const { notes, slots } = problem;
  const guide: Guide = {
    frameOf: (id) => (id < notes.length ? frames[notes[id].slot] : undefined),
    pointOf: (id) => (id < notes.length ? points[notes[id].slot] : undefined),
    offsetOf: (id) => (id < notes.length ? course?.[slots[notes[id].slot].strike] : undefined),
  };
  return { wish, guide, ratios };
}
