/** A performance as it was heard, and measurements of it. */
export { BEATING } from './beats.js';
export { type DriftCurve, type PieceFigures, toDriftCurve, toPieceFigures } from './figures.js';
export { type HeardNote, PieceRecorder, type PitchPoint, toEqual } from './heard-note.js';
