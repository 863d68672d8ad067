/** A whole piece tuned with everything in it known: the ratios, and the common offset over time. */
export { type PlanWish, planWhole, STOCK_PLAN, type WholePlan } from './plan-whole.js';
export { type Planning, planPiece } from './planning.js';
