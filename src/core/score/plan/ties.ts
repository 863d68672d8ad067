import type { PlanProblem } from './problem.js';

/** What reaches over the beginning of each strike. */
export interface Ties {
  /** How many notes struck before it sound on. */
  readonly held: Int32Array;
  /** The earliest strike of the notes that sounded up to it, held on or not; its own number where there was silence. */
  readonly oldest: Int32Array;
}

/** One entry a strike. */
export function toTies({ strikes, slots, notes }: PlanProblem): Ties {
  const held = new Int32Array(strikes.length);
  const oldest = Int32Array.from(strikes, (_, at) => at);
  for (const { slot, until } of notes) {
    const { strike } = slots[slot];
    for (let at = strike + 1; at < until; at++) held[at] += 1;
    const last = Math.min(until, strikes.length - 1);
    for (let at = strike + 1; at <= last; at++) oldest[at] = Math.min(oldest[at], strike);
  }
  return { held, oldest };
}
