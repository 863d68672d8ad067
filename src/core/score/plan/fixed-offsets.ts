import { toDeviationCents } from '../../theory/index.js';
import { type FixedNote, type TunerSettings, toFixedOffset } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';

/**
 * The common offset at each strike at which notes sound that can't be tuned, in cents: there the harmony is pure to
 * them, whatever the strategy, as the tuner has it. NaN elsewhere.
 *
 * @param path points of the slots, with higher primes
 * @returns one value a strike
 */
export function toFixedOffsets(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  { referenceCents }: Pick<TunerSettings, 'referenceCents'>,
): Float64Array {
  const fixed = strikes.map((): FixedNote[] => []);
  for (const { slot, key, until, fixedCents } of notes) {
    if (fixedCents === undefined) continue;
    const note = { fixedCents, key, deviationCents: toDeviationCents(path[slot]) };
    for (let at = slots[slot].strike; at < until; at++) fixed[at].push(note);
  }
  return Float64Array.from(fixed, (its) =>
    its.length === 0 ? Number.NaN : toFixedOffset(its, referenceCents),
  );
}
