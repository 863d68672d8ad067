import { sameClass } from '../../theory/index.js';
import {
  type ChoiceWeights,
  createChooser,
  createSeeds,
  scale,
  type TunerSettings,
} from '../../tuner/index.js';
import { toPathCost } from './path-cost.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { DEFAULT_SHIFT_PRICE } from './return-prices.js';
import { DEFAULT_EFFORT, type Effort, searchPlan } from './search.js';

/** The best ratios found for a piece, and how good they are. Costs as in `toPathCost`. */
export interface RatioPlan {
  readonly path: PlanPath;
  readonly cost: number;
  /** Cost of the live rule's ratios, under the requested strategy. */
  readonly liveCost: number;
  /** No ratios cost less. */
  readonly isBest: boolean;
  /** How many notes come back at another ratio than before, and how many do under the live rule. */
  readonly returns: number;
  readonly liveReturns: number;
}

/** What the ratios of a piece depend on: the limit 3 or 5, and a plan's own weights. */
export type ChoiceSettings = Pick<TunerSettings, 'home' | 'limit' | 'weights' | 'recallCents'>;

/** Weight of the usual choice, where nothing comes back. */
const USUAL = 0.05;
/** Price of a note that comes back 0, 1, 2, 3 commas away, in prices of a comma. */
const BY_COMMAS = [0, 1, 1.3, 1.5];

/**
 * The tuner's weights as a plan uses them. Live, memory replaces what isn't known yet. A plan knows what comes back,
 * and when, and only prices a note that does so elsewhere.
 *
 * @param shiftPrice what that costs; see `toShiftPrice`
 */
export function toPlanWeights(weights: ChoiceWeights, shiftPrice = DEFAULT_SHIFT_PRICE): ChoiceWeights {
  const { sounding, lasting } = weights.prices;
  const back = [3, 2, 1, 0, 1, 2, 3].map((commas) => shiftPrice * BY_COMMAS[commas]);
  return {
    ...weights,
    prices: {
      sounding: scale(sounding, USUAL),
      recent: scale(sounding, 0),
      recentSeconds: 1,
      lasting: [back, ...scale(lasting, USUAL).slice(1)],
      lastingSeconds: 5,
    },
  };
}

/**
 * The cheapest ratios found for a whole piece: never dearer than the live rule's.
 *
 * @param settings the limit 3 or 5, and a plan's own weights
 * @param lives    the live rule's paths; the first under the requested strategy
 */
export function planRatios(
  problem: PlanProblem,
  lives: readonly PlanPath[],
  settings: ChoiceSettings,
  effort: Effort = DEFAULT_EFFORT,
): RatioPlan {
  const chooser = createChooser(settings);
  const seeds = createSeeds(settings.home, settings.limit);
  const costs = lives.map((path) => toPathCost(problem, chooser, seeds, path));
  let { path, cost, isBest } = searchPlan(problem, chooser, seeds, effort);
  lives.forEach((live, i) => {
    if (costs[i] >= cost) return;
    path = live;
    cost = costs[i];
    isBest = false;
  });
  const returns = countReturns(problem, path);
  return { path, cost, liveCost: costs[0], isBest, returns, liveReturns: countReturns(problem, lives[0]) };
}

/** How many notes come back at another ratio than before. */
export function countReturns({ strikes, slots }: PlanProblem, path: PlanPath): number {
  let returns = 0;
  for (const { first, end, last } of strikes) {
    for (let slot = first; slot < end; slot++) {
      const before = last[slot - first];
      if (before !== undefined && !sameClass(path[before.slot], path[slot])) returns += slots[slot].count;
    }
  }
  return returns;
}
