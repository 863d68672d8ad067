import { toDeviationCents } from '../../theory/index.js';
import type { TunerSettings } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';

/**
 * The offset at which the first chord stands at home as a body, in cents: all its notes, in whatever order its fingers
 * fall. 0 for a piece without notes.
 */
export function placeFirstChord(
  { strikes, slots }: PlanProblem,
  path: PlanPath,
  { home }: Pick<TunerSettings, 'home'>,
): number {
  if (strikes.length === 0) return 0;
  let [sum, count] = [0, 0];
  for (let slot = strikes[0].first; slot < strikes[0].end; slot++) {
    const { keyClass, count: its } = slots[slot];
    sum += its * (toDeviationCents(path[slot]) - home.deviationCents[keyClass]);
    count += its;
  }
  return -sum / count;
}
