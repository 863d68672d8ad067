import type { Problem } from '../core/outcome.js';
import type { MomentNote, Planning } from '../core/score/index.js';
import { formatRatio, noteName, placeInterval, toCents } from '../core/theory/index.js';
import type {
  DeciderPresence,
  LedgerEntry,
  LedgerTotals,
  OffsetEntry,
  Reason,
  Tuner,
  TunerSettings,
} from '../core/tuner/index.js';
import { namePoint, toHarmonicMember, toHomeRatio } from '../core/words/index.js';
import { type ExplainedPart, type Explanation, findReturned, type PlacedMoment } from './explain.js';
import {
  type CommaReport,
  type DriftReport,
  type PlanningReport,
  roundCents,
  toCommaReport,
  toDriftReport,
  toPlanningReport,
} from './report.js';
import { type SettingsReport, toSettingsReport } from './settings-report.js';

/** Increases when a field changes its meaning or is removed, not when one is added. */
export const EXPLANATION_VERSION = 2;

/**
 * The output of `leeway explain --json`. Ratios are text, `80/81`; huge ones powers of primes, `2^400·3^-400·5^100`.
 */
export interface ExplanationJson {
  readonly kind: 'leeway explanation';
  readonly version: typeof EXPLANATION_VERSION;
  readonly input: string;
  readonly settings: SettingsReport;
  /** The options of the plan; null: tuned as it would be played. */
  readonly plan: PlanningReport | null;
  readonly warnings: readonly Problem[];
  /** One for a file of format 0 or 1; one for each track of format 2. */
  readonly pieces: readonly PieceJson[];
}

/** A piece, chord by chord. `track` is null except in format 2. */
export interface PieceJson {
  readonly track: number | null;
  readonly parts: readonly ExplainedPart[];
  readonly moments: readonly MomentJson[];
  /** Ledger entries after the last moment. */
  readonly closing: readonly EntryJson[];
  /** Totals of the whole piece, whatever bars were requested. */
  readonly totals: Readonly<LedgerTotals>;
}

/** A strike and everything that sounds with it. */
export interface MomentJson {
  readonly tick: number;
  readonly seconds: number;
  readonly bar: number;
  readonly beat: number;
  /** From the lowest note up. */
  readonly notes: readonly NoteJson[];
  readonly drift: DriftReport;
  /** Mean of the sounding notes, in cents. */
  readonly fromHomeCents: number;
  readonly ledger: readonly EntryJson[];
}

/** A note at a moment. */
export interface NoteJson {
  /** Letter, octave and comma index: `E4⁻¹`. */
  readonly name: string;
  readonly key: number;
  /** Index into the piece's `parts`, from 0. */
  readonly part: number;
  readonly presence: MomentNote['presence'];
  /** Ratio to the tonic of home in the octave of middle C, octaves included. */
  readonly toTonic: string;
  /** The same with octaves left out: it spans 0 to 11 keys. */
  readonly toHome: string;
  /** Ratio to the lowest sounding note, as it sounds. */
  readonly toBass: string;
  /** Distance from its key in 12 equal at the reference pitch, in cents. */
  readonly centsFromEqual: number;
  /** It is of a part that can't be tuned: it sounds at its own pitch, and the others are tuned to it. */
  readonly isFixed: boolean;
  readonly decidedBy: DecisionJson;
  /** The harmonic chord that gave it its pure seventh, eleventh or thirteenth; null for all others. */
  readonly harmonicOf: { readonly root: string; readonly harmonic: 7 | 11 | 13 } | null;
}

/** What decided a note when it was struck. All but the first field are null for a first note. */
export interface DecisionJson {
  readonly presence: DeciderPresence;
  readonly name: string | null;
  readonly key: number | null;
  /** This note ÷ the one that decided it, as it sounds. */
  readonly interval: string | null;
  readonly cents: number | null;
  readonly words: string | null;
}

/** A line of the ledger; see the ledger's types for the meaning of the fields. */
export type EntryJson =
  | {
      readonly kind: 'return';
      readonly seconds: number;
      readonly part: number;
      readonly key: number;
      readonly name: string | null;
      readonly comma: CommaReport;
    }
  | {
      readonly kind: 'drift';
      readonly seconds: number;
      readonly part: number;
      readonly key: number;
      readonly isReturn: boolean;
      readonly byKey: number | null;
      readonly comma: CommaReport;
    }
  | {
      readonly kind: 'offset';
      readonly seconds: number;
      readonly untilSeconds: number;
      readonly cents: number;
      readonly cause: OffsetEntry['cause'];
      readonly struck: number;
      readonly tied: number;
    }
  | {
      readonly kind: 'impurity';
      readonly seconds: number;
      readonly untilSeconds: number;
      readonly part: number;
      readonly key: number;
      readonly cents: number;
      readonly centSeconds: number;
    };

/** The whole explanation of a file. */
export function toExplanationJson(
  input: string,
  settings: TunerSettings,
  planning: Planning,
  warnings: readonly Problem[],
  pieces: readonly Explanation[],
): ExplanationJson {
  return {
    kind: 'leeway explanation',
    version: EXPLANATION_VERSION,
    input,
    settings: toSettingsReport(settings),
    plan: toPlanningReport(planning),
    warnings,
    pieces: pieces.map(toPieceJson),
  };
}

function toPieceJson({ track, parts, moments, closing, tuner }: Explanation): PieceJson {
  return {
    track: track ?? null,
    parts,
    moments: moments.map((moment) => toMomentJson(moment, tuner)),
    closing: closing.map((entry) => toEntryJson(entry, moments.at(-1)?.notes ?? [], tuner)),
    totals: tuner.ledger.totals,
  };
}

function toMomentJson(moment: PlacedMoment, tuner: Tuner): MomentJson {
  const { notes } = moment;
  return {
    tick: moment.tick,
    seconds: toSeconds(moment.atMs),
    bar: moment.bar,
    beat: roundCents(moment.beat),
    notes: notes.map((note) => ({
      name: namePoint(tuner, note.point, note.key),
      key: note.key,
      part: note.part,
      presence: note.presence,
      toTonic: formatRatio(note.point),
      toHome: formatRatio(toHomeRatio(tuner, note.point, note.key)),
      toBass: formatRatio(note.fromBass),
      centsFromEqual: roundCents(note.deviationCents),
      isFixed: note.isFixed,
      decidedBy: toDecisionJson(note.reason, tuner),
      harmonicOf: toHarmonicJson(note, notes, tuner),
    })),
    drift: toDriftReport(moment.drift),
    fromHomeCents: roundCents(moment.fromHomeCents),
    ledger: moment.entries.map((entry) => toEntryJson(entry, notes, tuner)),
  };
}

function toHarmonicJson(
  note: MomentNote,
  notes: readonly MomentNote[],
  tuner: Tuner,
): NoteJson['harmonicOf'] {
  const member = toHarmonicMember(note, notes);
  if (member === undefined) return null;
  return { root: noteName(member.root, tuner.settings.home.tonic), harmonic: member.harmonic };
}

function toDecisionJson(reason: Reason, tuner: Tuner): DecisionJson {
  const { presence, interval } = reason;
  if (presence === 'first')
    return { presence, name: null, key: null, interval: null, cents: null, words: null };
  return {
    presence,
    name: namePoint(tuner, reason.deciderPoint, reason.deciderKey),
    key: reason.deciderKey,
    interval: formatRatio(interval),
    cents: roundCents(toCents(interval)),
    words: placeInterval(interval),
  };
}

function toEntryJson(entry: LedgerEntry, notes: readonly MomentNote[], tuner: Tuner): EntryJson {
  const seconds = toSeconds(entry.atMs);
  switch (entry.kind) {
    case 'return': {
      const { kind, part, key, ratio } = entry;
      const note = findReturned(entry, notes);
      const name = note === undefined ? null : namePoint(tuner, note.point, key);
      return { kind, seconds, part, key, name, comma: toCommaReport(ratio) };
    }
    case 'drift': {
      const { kind, part, key, isReturn, byKey = null, ratio } = entry;
      return { kind, seconds, part, key, isReturn, byKey, comma: toCommaReport(ratio) };
    }
    case 'offset': {
      const { kind, untilMs, cause, struck, tied } = entry;
      const cents = roundCents(entry.cents);
      return { kind, seconds, untilSeconds: toSeconds(untilMs), cents, cause, struck, tied };
    }
    case 'impurity': {
      const { kind, untilMs, part, key } = entry;
      const [cents, centSeconds] = [roundCents(entry.cents), roundCents(entry.centSeconds)];
      return { kind, seconds, untilSeconds: toSeconds(untilMs), part, key, cents, centSeconds };
    }
  }
}

function toSeconds(ms: number): number {
  return roundCents(ms / 1000);
}
