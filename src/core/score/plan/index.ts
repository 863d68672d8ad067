/** A whole piece tuned with everything in it known: the ratios, and the common offset over time. */
export {
  type Planning,
  type PlanWish,
  planPiece,
  planWhole,
  STOCK_PLAN,
  type WholePlan,
} from './plan-whole.js';
