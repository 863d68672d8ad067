import { sameClass } from '../../theory/index.js';
import type { PlanPath, PlanProblem } from './problem.js';

/** What it costs a plan that a note comes back elsewhere, where many do. */
export const STOCK_SHIFT_PRICE = 4;

/** Share of the live rule's comebacks that land elsewhere from which on there are many of them. */
const MANY = 0.06;
/** How fast the price rises as there are fewer, and how often it is taken at most. */
const RARITY_POWER = 0.8;
const MOST_TIMES = 1.6;
/** A comeback counts less the longer ago the note was heard: 1/e after so many seconds. */
const FADE_SECONDS = 3.3;

/**
 * The price of a note that comes back elsewhere, for one piece: the fewer of them there are, the more each is worth
 * avoiding. Where notes hardly ever come back elsewhere anyway, one that does stands out, and the purity that is left
 * over by the plan can pay for it.
 *
 * @param live  what the live rule makes of the piece
 * @param price what is asked where there are many
 * @returns `price` up to 1.6 times as much
 */
export function toShiftPrice(problem: PlanProblem, live: PlanPath, price = STOCK_SHIFT_PRICE): number {
  const times = (MANY / toShiftedShare(problem, live)) ** RARITY_POWER;
  return price * Math.min(MOST_TIMES, Math.max(1, times));
}

/** How many of the notes that come back do so elsewhere, from 0 to 1; those that come back soon count most. */
export function toShiftedShare({ strikes, slots }: PlanProblem, path: PlanPath): number {
  let shifted = 0;
  let all = 0;
  for (const { first, end, last } of strikes) {
    for (let slot = first; slot < end; slot++) {
      const before = last[slot - first];
      if (before === undefined) continue;
      const weight = slots[slot].count * Math.exp(-before.ageSeconds / FADE_SECONDS);
      all += weight;
      if (!sameClass(path[before.slot], path[slot])) shifted += weight;
    }
  }
  return all === 0 ? 0 : shifted / all;
}
