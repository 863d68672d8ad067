/** Exact pitch: vectors, ratios, interval and comma names, note names, home scales; and the tones that show it. */

export { formatCents, formatSigned } from './cents.js';
export { decomposeComma, formatComma } from './comma-sums.js';
export { COMMAS, type CommaPart, commaName } from './commas.js';
export { type HomeList, type HomeStep, parseHomeList } from './home-list.js';
export {
  type BuiltInHomeKind,
  type Home,
  type HomeChoice,
  isSameHome,
  JUST_SCALE,
  MEANTONE_FIFTH_CENTS,
  moveHome,
  toHome,
} from './homes.js';
export { describeInterval, INTERVALS, intervalName, placeInterval } from './intervals.js';
export { formatPlace, type NameStyle, type Spelling, spellKey, toOctave, toSpelling } from './letters.js';
export type { NamedRatio } from './named-ratio.js';
export { type NamedPoint, type NoteNameStyle, noteName, type Origin, parseNoteName } from './note-names.js';
export { toProportion, toVector } from './proportion.js';
export { type ExactFraction, formatPower, formatRatio, parseRatio, ratio, toFraction } from './ratio.js';
export { A4_BOUNDS_HZ, parseA4, toReferenceCents } from './reference-pitch.js';
export { parseTonic, type Tonic } from './tonic.js';
export * from './vector.js';
export { type Envelope, toVoice, VOICE_NAMES, VOICES, type Voice, type VoiceName } from './voices.js';
