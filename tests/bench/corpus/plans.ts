import { DEFAULT_PLAN, type PlanOptions } from '../../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../../src/core/tuner/index.js';
import type { Figures } from './measure.js';
import type { Piece } from './pieces.js';
import { measureRetuned } from './retuned.js';

/** Plans of a corpus: how many are known to be the best there are, and how long making and measuring them took. */
export interface PlanEffort {
  pieces: number;
  notes: number;
  best: number;
  seconds: number;
}

/** Pieces tuned by a plan as `retune` has it: the figures of the files, and what the plans took. */
export function measurePlan(
  pieces: readonly Piece[],
  strategy: Strategy,
  options: PlanOptions = DEFAULT_PLAN,
): { figures: Figures; effort: PlanEffort } {
  const effort: PlanEffort = { pieces: pieces.length, notes: 0, best: 0, seconds: 0 };
  const start = performance.now();
  const figures = measureRetuned(pieces, toSettings({ strategy }), options, ({ plan, line }) => {
    if (plan === undefined) return;
    effort.notes += line.tuner.nextId;
    if (plan.ratios.isBest) effort.best += 1;
  });
  effort.seconds = (performance.now() - start) / 1000;
  return { figures, effort };
}

/** A plan at some price of a note that comes back elsewhere. */
export interface PricedPlan {
  readonly price: number;
  readonly figures: Figures;
}

/** A plan this little purer than what it is compared with, in points, counts as just as pure. */
const EQUAL_WITHIN = 0.02;
const LEAST_PRICE = 0.5;
const MOST_PRICE = 6;
/** Nearer than this, prices are not told apart. */
const PRICE_STEP = 0.02;

/**
 * The dearest price at which a plan is still as pure as asked for, by false position: purity falls nearly evenly as the
 * price rises.
 *
 * @returns the plan, never less pure than asked for; undefined if none is, even at the least price
 */
export function findEquallyPure(pieces: readonly Piece[], pure: number): PricedPlan | undefined {
  const at = (price: number): PricedPlan => ({
    price,
    figures: measurePlan(pieces, 'free', { ...DEFAULT_PLAN, shiftPrice: price }).figures,
  });
  let low = at(LEAST_PRICE);
  if (low.figures.pure < pure) return undefined;
  let high = at(MOST_PRICE);
  while (low.figures.pure - pure > EQUAL_WITHIN && high.price - low.price > PRICE_STEP) {
    if (high.figures.pure >= pure) return high;
    const share = (low.figures.pure - pure) / (low.figures.pure - high.figures.pure);
    // Never too near either end, so that the stretch shrinks at every step.
    const next = at(low.price + Math.min(0.8, Math.max(0.2, share)) * (high.price - low.price));
    if (next.figures.pure >= pure) low = next;
    else high = next;
  }
  return low;
}
