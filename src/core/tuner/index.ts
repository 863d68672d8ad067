/** What is sounding, which ratio each new note gets, the drift and who pays for it. */
export { costAt, MAX_CANDIDATES, Rankings } from './candidates.js';
export { type Chooser, createChooser } from './chooser.js';
export { toCommonDrift, toMostShared } from './common-drift.js';
export type { Pedal, TunerEvent, TunerOut } from './events.js';
export type { Guide } from './guide.js';
export { type ChordNote, HARMONIC_DEGREES, inflectHarmonicChord } from './harmonic-chord.js';
export {
  fromKept,
  fromKeptSettings,
  type KeptSettings,
  type KeptTuner,
  toKept,
  toKeptSettings,
} from './kept-tuner.js';
export {
  type Account,
  type ImpurityEntry,
  type Ledger,
  type LedgerEntry,
  type LedgerTotals,
  type OffsetEntry,
  type ReturnEntry,
  toDrift,
} from './ledger.js';
export type { DeciderPresence, Reason, SoundingNote } from './note.js';
export { toPlace } from './pair-cost.js';
export { nextWakeMs } from './passing-time.js';
export { reasonOf } from './reason.js';
export { adjust, goHomeNext, goHomeNow, holdDrift, isAdjustment, retell } from './requests.js';
export { createSeeds } from './seeds.js';
export {
  STOCK_SETTINGS,
  STRATEGIES,
  type Strategy,
  type TunerSettings,
  toSettings,
} from './settings.js';
export { step } from './step.js';
export { Surroundings } from './surroundings.js';
export { createTuner, type Tuner, toDriftCents, toSoundingCents } from './tuner.js';
export {
  type ByIntervalClass,
  type ChoiceWeights,
  STOCK_WEIGHTS,
  toFading,
  toPedalWeight,
  toRecallWeight,
} from './weights.js';
