/** Comma pumps: rows of chords that come round to their beginning a comma away, from a formula to a file. */

export { type ChordMember, formatChord, type PumpChord, toKeyClass, toMembers } from './chord.js';
export { CLASSIC_PUMPS, type ClassicPump } from './classics.js';
export { type Formula, MOST_CHORDS, parseFormula } from './formula.js';
export { type Pump, type PumpMove, toPump } from './pump.js';
export { type PumpScore, toPumpFile } from './pump-file.js';
export { CHOIRS, toVoicings, type VoicePart, type Voicing } from './voicing.js';
