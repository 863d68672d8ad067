/** The feed between session and viewers: messages, their checks, limits, names and version. */

export { STRATEGIES, type Strategy } from '../strategy.js';
export { toPauseMs } from './back-off.js';
export type { ComparedNote, ComparisonSheet } from './comparison-sheet.js';
export type { Downstream, Notice, Refused, Snapshot } from './downstream.js';
export type {
  CountersFact,
  DriftCurveFact,
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
  toLength,
  toThousandth,
} from './limits.js';
export { formatMessage, parseDownstream, parseUpstream } from './parse-message.js';
export {
  BARE_STAGE,
  POINTABLES,
  type Pointable,
  type PointerFact,
  type ScoreFact,
  type StageFact,
  type StoryFact,
  TUNINGS,
  type Tuning,
  VIEWS,
  type View,
} from './stage-facts.js';
export type {
  Control,
  FilePart,
  PieceOrder,
  Play,
  StageOrder,
  StoryOrder,
  Upstream,
} from './upstream.js';
export { forStrategies } from './values.js';
