/**
 * The user's settings: as options, in a settings file, and both together; every mistake in them, and their
 * descriptions.
 */

export {
  type Choices,
  NO_CHOICES,
  toChoices,
  toOutletChoice,
  toPlanning,
  toRemarks,
  toTunerSettings,
} from './choices.js';
export { OPTIONS } from './command-options.js';
export { gatherChoices, readLiveSettings } from './gather-choices.js';
export { NO_LIVE_CHOICES, toIdleRemarks, toLiveSettings } from './live-choices.js';
export { gatherLiveSettings } from './live-options.js';
export { OptionReader, type RawOptions } from './option-reader.js';
export { type PageChoice, readPageOptions } from './page-options.js';
export { noSuchPiece, type RenderChoices, readRenderChoices } from './render-choices.js';
export type { PlacedMistake } from './settings-file.js';
export { toTrackRole } from './track-roles.js';
