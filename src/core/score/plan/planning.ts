import type { Track } from '../../midi/index.js';
import type { TunerSettings } from '../../tuner/index.js';
import type { PartMap } from '../parts.js';
import { type PlanWish, planWhole, type WholePlan } from './plan-whole.js';

/** How a file is tuned: by the live rule, as if it were played, or by a plan of the whole piece with these wishes. */
export type Planning = 'live' | PlanWish;

/**
 * The plan of a piece, if one is wanted.
 *
 * @param toMs when a tick is due, in milliseconds
 * @returns undefined for `'live'`: the tuner decides as it would while the piece is played
 * @example planPiece(tracks, parts, toMs, settings, STOCK_PLAN)?.guide
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
