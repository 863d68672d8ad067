import type { TunerSettings } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { toStrikeBodies } from './strike-bodies.js';
import { toTies } from './ties.js';

/**
 * What the common offset does under `pull` where a piece gives back some of its drift: where nothing is held it makes up
 * for the return at once, so that nobody hears one; but for what the music stood away from home on the other side, which
 * the return mends. Where a note is held it leaves all of it to the pull, as everywhere else.
 *
 * @param returns how much each strike takes of the way home, in cents
 * @returns where the offset stands from a strike on, by where it stood before; undefined: as the strategy has it
 */
export function followReturns(
  problem: PlanProblem,
  path: PlanPath,
  { home }: Pick<TunerSettings, 'home'>,
  returns: Readonly<Float64Array>,
): (strike: number, beforeCents: number) => number | undefined {
  const bodies = toStrikeBodies(problem, path, { home, held: 'follow' });
  const { held } = toTies(problem);
  return (strike, beforeCents) => {
    const cents = returns[strike];
    if (cents === 0 || held[strike] > 0) return undefined;
    const body = bodies[strike] + beforeCents;
    return beforeCents - Math.max(Math.min(cents, 0), Math.min(Math.max(cents, 0), body));
  };
}
