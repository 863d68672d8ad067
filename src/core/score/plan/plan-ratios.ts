import { sameClass, UNISON } from '../../theory/index.js';
import { type ChoiceWeights, createChooser, createSeeds, type TunerSettings } from '../../tuner/index.js';
import { type Effort, STOCK_EFFORT } from './effort.js';
import { toLeastRest } from './least-cost.js';
import { toEndDrift, toPathCost } from './path-cost.js';
import type { PlanPath, PlanProblem } from './problem.js';
import { searchPlan } from './search.js';
import { STOCK_SHIFT_PRICE } from './shift-price.js';

/** The best ratios found for a piece, and how good they are. Costs as `toPathCost` gives them. */
export interface RatioPlan {
  readonly path: PlanPath;
  readonly cost: number;
  /** What the live rule's ratios cost, under the strategy that was asked for. */
  readonly liveCost: number;
  /** No ratios cost less. */
  readonly leastCost: number;
}

/**
 * The tuner's own weights, as a plan takes them. Live, memory and the weight of ties stand in for what isn't known yet;
 * one who knows what comes back, and when, needs them less and can ask more for a note that comes back elsewhere.
 *
 * @param shiftPrice what that costs; see `toShiftPrice`
 */
export function toPlanWeights(weights: ChoiceWeights, shiftPrice = STOCK_SHIFT_PRICE): ChoiceWeights {
  return {
    ...weights,
    recall: 0.012,
    held: 0.9,
    returnPrice: shiftPrice,
    returnStep: 0.4,
    returnSeconds: 3.3,
    strangeSlope: 0.26,
  };
}

/**
 * The cheapest ratios for a whole piece that could be found: never dearer than what the live rule makes of it, and with
 * `end` `home` never ending anywhere but where it began.
 *
 * @param settings the limit 3 or 5, and a plan's own weights
 * @param lives what the live rule makes of it; the first under the strategy that was asked for
 */
export function planRatios(
  problem: PlanProblem,
  lives: readonly PlanPath[],
  settings: Pick<TunerSettings, 'home' | 'limit' | 'weights'>,
  end: 'open' | 'home',
  effort: Effort = STOCK_EFFORT,
): RatioPlan {
  const chooser = createChooser(settings);
  const seeds = createSeeds(settings.home, settings.limit);
  const rest = toLeastRest(problem, chooser);
  const costOf = (path: PlanPath) => toPathCost(problem, chooser, seeds, path);
  const found = searchPlan(problem, chooser, seeds, effort, rest, end === 'home');
  const rivals =
    end === 'open' ? lives : [...lives.filter((path) => endsAtHome(problem, path)), stay(problem, lives[0])];
  let best = found ?? { path: [], cost: Infinity, othersFrom: Infinity };
  for (const path of rivals) {
    const cost = costOf(path);
    if (cost < best.cost) best = { ...best, path, cost };
  }
  const { path, cost } = best;
  return {
    path,
    cost,
    liveCost: costOf(lives[0]),
    leastCost: Math.max(rest[0], Math.min(cost, best.othersFrom)),
  };
}

function endsAtHome(problem: PlanProblem, path: PlanPath): boolean {
  return sameClass(
    toEndDrift(problem, (slot) => path[slot]),
    UNISON,
  );
}

/** Every key class stays where it first stood: dear, but it is at home whenever one looks. */
function stay({ slots, firstSlots }: PlanProblem, path: PlanPath): PlanPath {
  return slots.map(({ keyClass }) => path[firstSlots[keyClass]]);
}
