/** Words for the music: numbers, names, drift, the ledger and reasons, shared by every view. */

export { formatDrift, formatMove, formatStrategy } from './drift.js';
export { formatEntry, type NamedEntry } from './ledger.js';
export { namePoint, toHomeRatio, toLetter } from './names.js';
export { findNearest } from './nearest.js';
export {
  count,
  formatCents,
  formatChannels,
  formatClock,
  formatFromHome,
  formatNumbers,
  formatSeconds,
  formatSigned,
  formatSize,
} from './numbers.js';
export { formatDecider, formatReason, type HarmonicMember, toHarmonicMember } from './reasons.js';
