/** A performance as it was heard, and measurements of it. */
export { BEATING } from './beats.js';
export { type Course, type PieceFigures, toCourse, toPieceFigures } from './figures.js';
export { type HeardNote, PieceRecorder, type PitchPoint, toEqual } from './heard-note.js';
export { findCents, type PathPoint, toDriftPath, toOffsetPath } from './paths.js';
