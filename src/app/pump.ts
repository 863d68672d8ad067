import type { MidiFile } from '../core/midi/index.js';
import { type Outcome, succeed } from '../core/outcome.js';
import {
  CLASSIC_PUMPS,
  type ClassicPump,
  DEFAULT_PLAN,
  type Planning,
  type Pump,
  parseFormula,
  toPump,
  toPumpFile,
  toVoicings,
  type Voicing,
} from '../core/score/index.js';
import { type PrimeVector, power, sameClass, type Tonic, UNISON } from '../core/theory/index.js';
import { toSettings } from '../core/tuner/index.js';
import { retune } from './retune.js';

/** Options of an exercise. */
export interface PumpOptions {
  /** A formula, or the name of a classic one. */
  readonly text: string;
  readonly tonic: Tonic;
  readonly voices: 3 | 4;
  readonly passes: number;
  readonly secondsPerChord: number;
  readonly tied: boolean;
}

/** An exercise, ready to be played. */
export interface BuiltPump {
  /** The formula, as given or as the classic one has it. */
  readonly formula: string;
  readonly classic: ClassicPump | undefined;
  readonly pump: Pump;
  readonly voicings: readonly Voicing[];
  readonly file: MidiFile;
}

/** An exercise, ready to be written: its drift was checked. */
export interface PumpExercise extends BuiltPump {
  /** How far all passes move the tonic. */
  readonly drift: PrimeVector;
  /** The drift of the file under `retune --strategy free`, and of playing it live under `free`. */
  readonly retuned: PrimeVector;
  readonly played: PrimeVector;
  /** Whether both equal the computed drift. */
  readonly isBorneOut: boolean;
}

/** A classic pump and its drift. */
export interface ListedPump {
  readonly classic: ClassicPump;
  readonly pump: Pump;
}

/** Every classic pump with its drift. */
export function listPumps(tonic: Tonic): ListedPump[] {
  return CLASSIC_PUMPS.map((classic) => {
    const pump = readPump(classic.formula, tonic);
    if (!pump.ok) throw new Error(`${classic.name}: ${pump.problem.message}`);
    return { classic, pump: pump.value };
  });
}

/** Builds an exercise. Fails with the problems of `parseFormula`, `toPump` and `toVoicings`. */
export function buildPump(options: PumpOptions): Outcome<BuiltPump> {
  const classic = CLASSIC_PUMPS.find(({ name }) => name === options.text.trim().toLowerCase());
  const formula = classic?.formula ?? options.text.trim();
  const pump = readPump(formula, options.tonic);
  if (!pump.ok) return pump;
  const voicings = toVoicings(pump.value, options.voices);
  if (!voicings.ok) return voicings;
  const file = toPumpFile(pump.value, { ...options, title: formula, voicings: voicings.value });
  return succeed({ formula, classic, pump: pump.value, voicings: voicings.value, file });
}

/** The same, tuned as a file and live to check the computed drift. */
export function makePump(options: PumpOptions): Outcome<PumpExercise> {
  const built = buildPump(options);
  if (!built.ok) return built;
  const { pump, file } = built.value;
  const drift = power(pump.drift, options.passes);
  const retuned = toTunedDrift(file, pump, DEFAULT_PLAN);
  const played = toTunedDrift(file, pump, 'live');
  const isBorneOut = sameClass(drift, retuned) && sameClass(drift, played);
  return succeed({ ...built.value, drift, retuned, played, isBorneOut });
}

function readPump(text: string, tonic: Tonic): Outcome<Pump> {
  const formula = parseFormula(text, tonic);
  return formula.ok ? toPump(formula.value) : formula;
}

/** The drift at the end under `free`. */
function toTunedDrift(file: MidiFile, { limit }: Pump, plan: Planning): PrimeVector {
  const { sequences } = retune(file, {
    settings: toSettings({ strategy: 'free', limit }),
    outlet: { kind: 'mts', bendRange: undefined },
    plan,
  });
  return sequences[0].ending?.drift.commas ?? UNISON;
}
