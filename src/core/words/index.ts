/** Words for the music: numbers, names, drift, the ledger and reasons, shared by every view. */

export { formatAway, formatDrift, formatDriftLeft, formatMove, formatStrategy } from './drift.js';
export { formatEntry, type NamedEntry } from './ledger.js';
export { namePoint, toHomeRatio, toLetter } from './names.js';
export { findNearest } from './nearest.js';
export {
  count,
  formatCents,
  formatChannels,
  formatClock,
  formatFromHome,
  formatFromStart,
  formatNumbers,
  formatSeconds,
  formatSigned,
  formatSize,
} from './numbers.js';
export { describeNote, formatRatioOrCommas } from './ratios.js';
export { formatDecider, formatReason, type HarmonicMember, toHarmonicMember } from './reasons.js';
