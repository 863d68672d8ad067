/** What travels to viewers and back: shapes, checks, version, and how they are made from what the tuner reports. */

export { STRATEGIES } from '../tuner/index.js';
export type { ComparedNote, ComparisonSheet } from './comparison-sheet.js';
export { CourseMemory, type CoursePoint } from './course.js';
export { toDriftFact, toTotalsFact } from './describe-drift.js';
export { type EntryPlace, toEntryFact } from './describe-entry.js';
export { type FrameSources, toFrame } from './describe-frame.js';
export { type Carriage, type Tuners, toNoteFacts, toRecalledFacts } from './describe-note.js';
export { type SessionSettings, toSettingsFact } from './describe-settings.js';
export type { Downstream, Notice, Refused, Snapshot } from './downstream.js';
export type {
  CountersFact,
  CourseFact,
  DriftFact,
  EntryFact,
  Frame,
  NoteFact,
  PassFact,
  PieceFact,
  PlayingFact,
  RecalledFact,
  SettingsFact,
  TotalsFact,
} from './facts.js';
export { type ArrivedFile, FileAssembly, toFileParts } from './file-parts.js';
export {
  FEED_VERSION,
  type FeedRange,
  FRAMES_PER_SECOND,
  LIMITS,
  MAX_FILE_PARTS,
  TEMPO_RANGE,
} from './limits.js';
export { formatMessage, parseDownstream, parseUpstream } from './parse-message.js';
export type { Control, FilePart, PieceOrder, Play, Upstream } from './upstream.js';
export { forStrategies } from './values.js';
