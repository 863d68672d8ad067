/** Comma pumps, from a formula to a file: rows of chords that return to their first chord a comma away. */

export { type ChordMember, formatChord, type PumpChord, toKeyClass, toMembers } from './chord.js';
export { CLASSIC_PUMPS, type ClassicPump } from './classics.js';
export { type Formula, MOST_CHORDS, parseFormula } from './formula.js';
export { type Pump, type PumpMove, toPump } from './pump.js';
export { type PumpScore, toPumpFile } from './pump-file.js';
export { CHOIRS, toVoicings, type VoicePart, type Voicing } from './voicing.js';
