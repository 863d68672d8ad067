import { toDeviationCents } from '../../theory/index.js';
import type { TunerSettings } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';

/**
 * How far from home the sounding body stands at each strike, in cents, with the common offset at 0: the mean over all
 * that can be heard just after it, as the tuner anchors it. With held notes staying only the new ones count, since they
 * alone take the offset.
 *
 * @returns one value a strike
 * @example a strike of C and G at 1/1 and 3/2, home 12 equal: 0.978
 */
export function toStrikeBodies(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  { home, held }: Pick<TunerSettings, 'home' | 'held'>,
): Float64Array {
  const cents = new Float64Array(strikes.length);
  const counts = new Int32Array(strikes.length);
  for (const { slot, until } of notes) {
    const { keyClass, strike } = slots[slot];
    const away = toDeviationCents(path[slot]) - home.deviationCents[keyClass];
    const last = held === 'follow' ? until : strike + 1;
    for (let at = strike; at < last; at++) {
      cents[at] += away;
      counts[at] += 1;
    }
  }
  return cents.map((sum, at) => sum / Math.max(1, counts[at]));
}
