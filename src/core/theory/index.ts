/** Exact pitch: vectors, ratios, interval and comma names, note names, home scales; and the voices that sound it. */

export { type ChordName, type ChordNote, nameChord } from './chord-names.js';
export { decomposeComma, formatComma } from './comma-sums.js';
export { COMMAS, type CommaPart, commaName } from './commas.js';
export { toHertz } from './hertz.js';
export { type HomeList, type HomeStep, parseHomeList } from './home-list.js';
export {
  A4_BOUNDS_HZ,
  type BuiltInHomeKind,
  type Home,
  type HomeChoice,
  JUST_SCALE,
  MEANTONE_FIFTH_CENTS,
  moveHome,
  parseA4,
  parseTonic,
  type Tonic,
  toHome,
  toReferenceCents,
} from './homes.js';
export { describeInterval, INTERVALS, intervalName, placeInterval } from './intervals.js';
export { formatPlace, type NameStyle, type Spelling, spellKey, toOctave, toSpelling } from './letters.js';
export {
  type NamedPoint,
  type NoteNameStyle,
  noteName,
  type Origin,
  parseNoteName,
  toNamePlace,
} from './note-names.js';
export type { NamedRatio } from './ratio.js';
export {
  type ExactFraction,
  formatPower,
  formatRatio,
  parseRatio,
  ratio,
  toFraction,
  toProportion,
  toVector,
} from './ratio.js';
export * from './vector.js';
export { type Envelope, toVoice, VOICE_NAMES, VOICES, type Voice, type VoiceName } from './voices.js';
