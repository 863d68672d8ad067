/** A whole piece: its events in playing order, its parts, the live rule over it, and why every note got its ratio. */

export * from './figures/index.js';
export { type LeadIn, toLeadIn } from './lead-in.js';
export { type Moment, type MomentNote, type RecountedPiece, recountMoments } from './moments.js';
export {
  type Part,
  type PartMap,
  type TrackPartMap,
  toPartsByChannel,
  toPartsByTrack,
} from './parts.js';
export { type Piece, toPiece } from './piece.js';
export { type PieceChord, toChords } from './piece-chords.js';
export {
  DEFAULT_PLAN,
  type Planning,
  type PlanOptions,
  planPiece,
  planWhole,
  type WholePlan,
} from './plan/index.js';
export { playPart } from './play-part.js';
export { type Visit, visitInOrder } from './playing-order.js';
export * from './pump/index.js';
export {
  type PartRole,
  PERCUSSION_CHANNEL,
  type Role,
  type RoleOf,
  TUNED,
  toDefaultRole,
} from './roles.js';
export { type Timeline, toTimeline } from './timeline.js';
