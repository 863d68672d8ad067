import { toDeviationCents } from '../../theory/index.js';
import type { PlanPath, PlanProblem } from './problem.js';

/**
 * The widest move, in cents, that a path makes from one strike to the next beyond what another makes there: by how much any
 * note of the later strike, to any that sounds at the earlier one, stands farther off than the other path has it.
 *
 * @example with a path that stands a comma higher from some strike on, against the path it was: 21.506
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
