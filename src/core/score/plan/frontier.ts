import type { PlanProblem } from './problem.js';

/**
 * The slots that still matter after each strike: heard by a later one, or needed at the end. Two paths that agree on
 * them have the same future.
 */
export interface Frontier {
  readonly slots: readonly Int32Array[];
  /** For each of them, its index in the frontier before; below 0, the strike's own slot -1, -2 … */
  readonly from: readonly Int32Array[];
}

/** @param needed slots needed at the end */
export function toFrontier(problem: PlanProblem, needed: readonly number[]): Frontier {
  const { strikes, slots } = problem;
  const lastUse = new Int32Array(slots.length).fill(-1);
  strikes.forEach((strike, at) => {
    for (const { slot } of strike.context) lastUse[slot] = at;
  });
  for (const slot of needed) lastUse[slot] = strikes.length;
  const frontier: Int32Array[] = [];
  const from: Int32Array[] = [];
  let live: Int32Array = new Int32Array(0);
  strikes.forEach((strike, at) => {
    const next: number[] = [];
    const origin: number[] = [];
    for (let i = 0; i < live.length; i++) {
      if (lastUse[live[i]] <= at) continue;
      next.push(live[i]);
      origin.push(i);
    }
    for (let slot = strike.first; slot < strike.end; slot++) {
      if (lastUse[slot] <= at) continue;
      next.push(slot);
      origin.push(strike.first - slot - 1);
    }
    live = Int32Array.from(next);
    frontier.push(live);
    from.push(Int32Array.from(origin));
  });
  return { slots: frontier, from };
}
