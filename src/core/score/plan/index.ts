/** Plans of whole pieces: the ratios, and the common offset over time. */
export {
  DEFAULT_PLAN,
  type Planning,
  type PlanOptions,
  planPiece,
  planWhole,
  type WholePlan,
} from './plan-whole.js';
