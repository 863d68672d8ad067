/** What is sounding, which ratio each new note gets, the drift and who pays for it. */

export { STRATEGIES, type Strategy } from '../strategy.js';
export { type Chooser, createChooser, createSeeds } from './chooser.js';
export { type CommaPrices, type PriceList, scale, toCommaPrice } from './comma-prices.js';
export { createDriftLevel, type Drift, type DriftLevel, findStep, takeStep, toDrift } from './drift.js';
export { NO_VELOCITY, type Pedal, type TunerEvent, type TunerOut, UNHEARD } from './events.js';
export type { Guide } from './guide.js';
export { type ChordNote, HARMONIC_DEGREES, inflectHarmonicChord } from './harmonic-chord.js';
export { LATE_SHARE, LEAVING_MS } from './leaving.js';
export {
  type Account,
  type DriftEntry,
  type ImpurityEntry,
  type Ledger,
  type LedgerEntry,
  type LedgerTotals,
  type OffsetEntry,
  type ReturnEntry,
  toReturned,
} from './ledger.js';
export type { DeciderPresence, LateEnd, Reason, SoundingNote } from './note.js';
export { toPlace } from './pair-cost.js';
export type { ChoiceEffort } from './part-search.js';
export { type FixedNote, toFixedOffset } from './partner.js';
export { StruckClasses, toPoint } from './places.js';
export { reasonOf } from './reason.js';
export { DEFAULT_SETTINGS, type TunerSettings, toSettings } from './settings.js';
export { fromSnapshot, type TunerSnapshot, toSnapshot } from './snapshot.js';
export { nextWakeMs, step } from './step.js';
export { StrikeSearch } from './strike-choice.js';
export { HELD, LOOSE, Surroundings, toPairPrice } from './surroundings.js';
export { createTuner, type Tuner, toMeanFromHome, toSoundingCents } from './tuner.js';
export {
  type ByIntervalClass,
  type ChoiceWeights,
  DEFAULT_WEIGHTS,
  toRecallWeight,
} from './weights.js';
