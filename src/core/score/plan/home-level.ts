import { toDeviationCents } from '../../theory/index.js';
import type { PlanProblem, PlanStrike } from './problem.js';
import type { Spot } from './surroundings.js';

const SYNTONIC_CENTS = 1200 * Math.log2(81 / 80);

/**
 * Levels of what is less than half a comma from home but not quite there: it is kept beside what is, or would crowd it
 * out. The strike stands at home, but not all that is remembered; or neither does.
 */
const COME_HOME = 0.25;
const NEAR_HOME = 0.5;

/**
 * How many commas a strike stands from where its key classes first stood, rounded: 0 only if it and everything heard or
 * remembered stand just there.
 *
 * @param places where its slots are put
 * @param spotOf where a slot placed before stands
 * @param before the level of the strike before, which one has whose key classes are all new
 */
export function toHomeLevel(
  { slots, firstSlots }: PlanProblem,
  { first, context }: PlanStrike,
  places: readonly Spot[],
  spotOf: (slot: number) => Spot,
  before: number,
): number {
  let cents = 0;
  let count = 0;
  let away = 0;
  places.forEach(({ point, place }, i) => {
    const origin = firstSlots[slots[first + i].keyClass];
    if (origin >= first) return;
    const home = spotOf(origin);
    count += 1;
    if (place !== home.place) away += 1;
    cents += toDeviationCents(point) - toDeviationCents(home.point);
  });
  if (count === 0) return before;
  if (away > 0) return Math.round(cents / count / SYNTONIC_CENTS) || NEAR_HOME;
  const isHome = context.every(
    ({ slot, keyClass }) => spotOf(slot).place === spotOf(firstSlots[keyClass]).place,
  );
  return isHome ? 0 : COME_HOME;
}
