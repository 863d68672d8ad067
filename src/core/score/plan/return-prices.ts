import { divide, type PrimeVector, sameClass } from '../../theory/index.js';
import { type Chooser, Surroundings } from '../../tuner/index.js';
import { fillSurroundings, type Spot, toSpot } from './path-cost.js';
import type { PlanPath, PlanProblem, PlanStrike } from './problem.js';

/**
 * The cost at each strike of moving it and all after it a comma up or down. Held notes become impure against the new
 * ones, which costs far more than all else. Where `remembered` counts too, notes come back by that much. Later harmony
 * is unchanged.
 *
 * Each is the tuner's own cost of every slot, with what was heard before the strike moved against it. Exact for one
 * return; two within the reach of one note are taken as if each were alone.
 *
 * @param comma by what the strike and all after it move
 * @returns one value a strike; the first has nothing before it and costs nothing
 */
export function toReturnPrices(
  problem: PlanProblem,
  chooser: Chooser,
  path: PlanPath,
  comma: PrimeVector,
  remembered: boolean,
): Float64Array {
  const { strikes, slots, notes } = problem;
  const until = new Int32Array(slots.length);
  for (const note of notes) until[note.slot] = Math.max(until[note.slot], note.until);
  const unmoved = path.map(toSpot);
  const moved = path.map((point) => toSpot(divide(point, comma)));
  const surroundings = new Surroundings(chooser);
  const costs = new Steps(strikes.length);

  const priceOf = (strike: PlanStrike, isMoved: (slot: number) => boolean): number => {
    const spotOf = (slot: number): Spot => (isMoved(slot) ? moved : unmoved)[slot];
    fillSurroundings(surroundings, problem, strike, spotOf, []);
    let cost = 0;
    for (let slot = strike.first; slot < strike.end; slot++)
      cost += surroundings.costAt(slots[slot].keyClass, path[slot]);
    return cost;
  };

  strikes.forEach((strike, at) => {
    const heard = strike.context.filter(({ slot }) => remembered || until[slot] > at);
    if (heard.length === 0) return;
    const struck = [...new Set(heard.map(({ slot }) => slots[slot].strike))].sort((a, b) => a - b);
    const plain = priceOf(strike, () => false);
    struck.forEach((last, i) => {
      // A return after that strike, and no later than the next one heard, leaves this and all before it behind.
      const isMoved = (slot: number) => slots[slot].strike <= last && (remembered || until[slot] > at);
      costs.add(last + 1, struck[i + 1] ?? at, priceOf(strike, isMoved) - plain);
    });
  });
  return costs.toValues();
}

/** Values with additions over whole stretches: stores only where a stretch begins and ends. */
class Steps {
  readonly #changes: Float64Array;

  constructor(length: number) {
    this.#changes = new Float64Array(length + 1);
  }

  /** Adds to all from one up to and including another. */
  add(from: number, to: number, value: number): void {
    this.#changes[from] += value;
    this.#changes[to + 1] -= value;
  }

  toValues(): Float64Array {
    let sum = 0;
    return this.#changes.slice(0, -1).map((change) => {
      sum += change;
      return sum;
    });
  }
}

/** What a comeback elsewhere costs a plan, where there are many. */
export const DEFAULT_SHIFT_PRICE = 4;

/** From this share on, of the live rule's comebacks that land elsewhere, there are many. */
const MANY = 0.06;
/** How fast the price rises as there are fewer, and by which factor at most. */
const RARITY_POWER = 0.8;
const MOST_TIMES = 1.6;
/** A comeback counts less with time since the note was heard: 1/e after this many seconds. */
const FADE_SECONDS = 3.3;

/**
 * The price of a note that comes back elsewhere, for one piece: the rarer they are, the more each is worth avoiding.
 * Where they are rare, each one is noticeable, and the plan has enough purity to pay for avoiding it.
 *
 * @param live  the live rule's path
 * @param price the price where there are many
 * @returns `price` up to 1.6 times as much
 */
export function toShiftPrice(problem: PlanProblem, live: PlanPath, price = DEFAULT_SHIFT_PRICE): number {
  const times = (MANY / toShiftedShare(problem, live)) ** RARITY_POWER;
  return price * Math.min(MOST_TIMES, Math.max(1, times));
}

/** Share of comebacks that land elsewhere, 0 to 1; early ones count most. */
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
