import type { Track } from '../../midi/index.js';
import type { PrimeLimit } from '../../theory/index.js';
import type { Guide, Strategy, TunerSettings } from '../../tuner/index.js';
import type { PartMap } from '../parts.js';
import { placeFirstChord } from './chord-means.js';
import { toFixedOffsets } from './fixed-offsets.js';
import { gatherChords } from './gather-chords.js';
import { type InflectedPath, inflectPath } from './harmonic-chords.js';
import { type HomePlan, planHome } from './plan-home.js';
import { followReturns, planOffset } from './plan-offset.js';
import { type ChoiceSettings, planRatios, type RatioPlan, toPlanWeights } from './plan-ratios.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { type Rehearsal, rehearse } from './rehearse.js';
import { toShiftPrice } from './return-prices.js';
import { toLivePath, toProblem } from './to-problem.js';
import { NO_WAY, toReturnCents, type WayHome } from './way-home.js';

/** What is wanted of a plan. */
export interface PlanOptions {
  /** Whether the piece must end where it began, or may end elsewhere for a small price. */
  readonly end: 'open' | 'home';
  /** How many seconds of a cent away from home are worth one note that comes back elsewhere. */
  readonly smoothSeconds: number;
  /** Price of a note that comes back elsewhere, in music where many do; the default if not given. */
  readonly shiftPrice?: number;
}

/** Default options of a plan. */
export const DEFAULT_PLAN: PlanOptions = Object.freeze({ end: 'open', smoothSeconds: 200 });

/** A plan of a whole piece. */
export interface WholePlan {
  readonly options: PlanOptions;
  readonly guide: Guide;
  readonly ratios: RatioPlan;
  /** Where it gives its drift back, if it must end where it began. */
  readonly wayHome: WayHome;
}

/**
 * Plans a whole piece: the ratios in primes 3 and 5, then the higher primes, which enter by whole chords, then the way
 * home, then the common offset over time. Under `free` the offset stays where the first chord puts it; under `pull` and
 * `temper` the strategy decides. Can't fail: a piece without notes has an empty plan. Offsets are in cents.
 *
 * @param toMs when a tick is due, in milliseconds
 */
export function planWhole(
  tracks: readonly Track[],
  parts: PartMap,
  toMs: (tick: number) => number,
  settings: TunerSettings,
  options: PlanOptions,
): WholePlan {
  const limit = settings.limit === 3 ? 3 : 5;
  const { home, strategy, recallCents } = settings;
  const play = (strategy: Strategy, within: PrimeLimit = limit) =>
    gatherChords(rehearse(tracks, parts, toMs, { ...settings, strategy, limit: within }));
  const own = play(strategy);
  const problem = toProblem(own);
  const lives = [toLivePath(own, problem)];
  if (strategy !== 'free') lives.push(toLivePath(play('free'), problem));
  const price = toShiftPrice(problem, lives[lives.length - 1], options.shiftPrice);
  const choice: ChoiceSettings = {
    home,
    limit,
    recallCents,
    weights: toPlanWeights(settings.weights, price),
  };
  const open = planRatios(problem, lives, choice);
  const { ratios, frames, points, wayHome }: HomePlan =
    options.end === 'home'
      ? planHome(problem, open, choice, settings)
      : { ratios: open, wayHome: NO_WAY, ...inflectOpen(problem, open, settings, play) };
  const offsetAt = planOffsets(problem, points, settings, options, wayHome);
  const { notes, slots } = problem;
  const guide: Guide = {
    frameOf: (id) => (id < notes.length ? frames[notes[id].slot] : undefined),
    pointOf: (id) => (id < notes.length ? points[notes[id].slot] : undefined),
    offsetOf(id, before) {
      if (id >= notes.length) return undefined;
      const { strike } = slots[notes[id].slot];
      const isFirst = id === 0 || slots[notes[id - 1].slot].strike !== strike;
      return offsetAt(strike, before, isFirst);
    },
    isLeaving: (id, struckId) =>
      struckId < notes.length && notes[id].until <= slots[notes[struckId].slot].strike,
  };
  return { options, guide, ratios, wayHome };
}

/** The guide's offset at each strike, for the first of its notes and for later ones. */
function planOffsets(
  problem: PlanProblem,
  points: PlanPath,
  settings: TunerSettings,
  { smoothSeconds }: PlanOptions,
  wayHome: WayHome,
): (strike: number, beforeCents: number, isFirst: boolean) => number | undefined {
  const returns = toReturnCents(problem, wayHome);
  const fixed = toFixedOffsets(problem, points, settings);
  if (settings.strategy === 'anchored') {
    const offsets = planOffset(problem, points, settings, smoothSeconds, fixed, returns);
    return (strike) => offsets[strike];
  }
  const besideFixed = planOffsetsOf(problem, points, settings, returns);
  return (strike, before, isFirst) =>
    Number.isNaN(fixed[strike]) ? besideFixed(strike, before, isFirst) : fixed[strike];
}

/** The same under `free`, `pull` and `temper`, where nothing sounds that can't be tuned. */
function planOffsetsOf(
  problem: PlanProblem,
  points: PlanPath,
  settings: TunerSettings,
  returns: Readonly<Float64Array>,
): (strike: number, beforeCents: number, isFirst: boolean) => number | undefined {
  // The first chord is at home as a whole, in any order of fingers.
  const homeOffset = placeFirstChord(problem, points, settings);
  if (settings.strategy === 'pull') {
    const follow = followReturns(problem, points, settings, returns);
    // A later finger of a chord has the offset of the first one.
    return (strike, before, isFirst) => {
      if (strike === 0) return homeOffset;
      return isFirst ? follow(strike, before) : undefined;
    };
  }
  return (strike) => (strike === 0 ? homeOffset : undefined);
}

/**
 * The higher primes of an open plan. Where the live rule lets a held seventh move the music and continues from there, a
 * plan in primes 3 and 5 can't follow: the live rule's own ratios are taken.
 */
function inflectOpen(
  problem: PlanProblem,
  { path }: RatioPlan,
  { limit, strategy }: TunerSettings,
  play: (strategy: Strategy, limit: PrimeLimit) => Rehearsal,
): InflectedPath {
  if (limit >= 7) {
    const { notes } = play(strategy, limit);
    if (notes.some(({ note: { frame } }) => frame[3] !== 0 || frame[4] !== 0 || frame[5] !== 0)) {
      const frames = path.slice();
      const points = path.slice();
      for (const { note } of notes) {
        frames[problem.notes[note.id].slot] = note.frame;
        points[problem.notes[note.id].slot] = note.point;
      }
      return { frames, points };
    }
  }
  return inflectPath(problem, path, limit);
}

/** How a file is tuned: by the live rule, as if it were played, or by a plan of the whole piece with these options. */
export type Planning = 'live' | PlanOptions;

/**
 * The plan of a piece, if one is wanted.
 *
 * @param toMs when a tick is due, in milliseconds
 * @returns undefined for `'live'`: the tuner decides as it would while the piece is played
 * @example planPiece([], { count: 0 }, (tick) => tick, DEFAULT_SETTINGS, 'live')  // undefined
 */
export function planPiece(
  tracks: readonly Track[],
  parts: PartMap,
  toMs: (tick: number) => number,
  settings: TunerSettings,
  planning: Planning,
): WholePlan | undefined {
  return planning === 'live' ? undefined : planWhole(tracks, parts, toMs, settings, planning);
}
