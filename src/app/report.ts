import { type MidiFile, tracksOf } from '../core/midi/index.js';
import type { ErrorCode, Problem } from '../core/outcome.js';
import type { OutletCounters } from '../core/outlet/index.js';
import type { Part, Planning, WholePlan } from '../core/score/index.js';
import { formatComma, formatRatio, type PrimeVector, toDeviationCents } from '../core/theory/index.js';
import { type Drift, type LedgerTotals, type TunerSettings, toReturned } from '../core/tuner/index.js';
import type { Ending } from './ending.js';
import type { OutletChoice } from './outlet-choice.js';
import type { Retuned, RetunedSequence } from './retune.js';
import { type SettingsReport, toSettingsReport } from './settings-report.js';
import { toTrackName } from './track-name.js';

/** Increases when a field changes its meaning or is removed, not when one is added. */
export const REPORT_VERSION = 2;

/** The JSON file of `leeway retune --report`. */
export interface RetuneReport {
  readonly kind: 'leeway retune report';
  readonly version: typeof REPORT_VERSION;
  readonly settings: SettingsReport;
  readonly plan: PlanningReport | null;
  /** In the order of the work. */
  readonly files: readonly FileReport[];
}

/** The options of a plan. Where null is allowed, it means: tuned as it would be played. */
export interface PlanningReport {
  readonly end: 'open' | 'home';
  readonly smoothSeconds: number;
}

/** One input: its result, or why it failed. */
export type FileReport = DoneReport | FailedReport;

/** A retuned file. */
export interface DoneReport {
  readonly ok: true;
  readonly input: string;
  readonly output: string;
  readonly format: 0 | 1 | 2;
  /** Slight errors of the input, which was read all the same; and roles for tracks that it lacks. */
  readonly warnings: readonly Problem[];
  /** One for a file of format 0 or 1; one for each track of format 2, whose tracks are separate pieces. */
  readonly pieces: readonly PieceReport[];
}

/** A file that couldn't be read, or whose output couldn't be written. */
export interface FailedReport {
  readonly ok: false;
  readonly input: string;
  readonly problem: { readonly code: ErrorCode; readonly message: string; readonly advice: string };
}

/** One piece, played from its start to its end. */
export interface PieceReport {
  readonly seconds: number;
  /** Notes that were tuned; percussion, guides and what else isn't tuned don't count. */
  readonly notes: number;
  readonly parts: readonly PartReport[];
  /** The last chord; null for a piece without a note. */
  readonly ending: EndingReport | null;
  /** The ledger's totals, such as cents that returning notes jumped and tied notes glided. */
  readonly totals: Readonly<LedgerTotals>;
  /** Every key class that sounded, from C. */
  readonly keyClasses: readonly KeyClassReport[];
  /** How good the plan of the whole piece is; null for a piece tuned as it would be played. */
  readonly plan: PlanReport | null;
  readonly outlet: OutletReport;
}

/**
 * A plan of a whole piece in figures. Costs are the tuner's: weighted harmonic distances, and the price of notes that
 * come back elsewhere. They compare tunings of one piece only.
 */
export interface PlanReport {
  /** How many notes come back at another ratio than before. */
  readonly returns: number;
  /** How many do under the live rule. */
  readonly liveReturns: number;
  /** Whether no other plan can be better by the plan's own measure. */
  readonly isBest: boolean;
  /** Null unless it had to end where it began. */
  readonly wayHome: WayHomeReport | null;
}

/** How a piece returned to where it began. */
export interface WayHomeReport {
  /** How many times it gave back some of its drift, and at how many of these a note was held. */
  readonly returns: number;
  readonly againstHeld: number;
  /** The widest of them, in cents. */
  readonly widestCents: number;
}

/** A stream of playing that is heard, numbered for people: `track` from 1, null if all tracks share it. */
export interface PartReport {
  readonly track: number | null;
  /** 1 to 16. */
  readonly channel: number;
  /** Of its track; empty if it has none, or if all tracks share the part. */
  readonly name: string;
  readonly role: Part['role'];
  readonly notes: number;
}

/** The end of a piece. */
export interface EndingReport {
  readonly drift: DriftReport;
  /** Mean of the chord, in cents; below home is negative. */
  readonly fromHomeCents: number;
}

/** A drift: how far the harmony moved by commas, what the common offset gave back of it, and what is left. */
export interface DriftReport extends CommaReport {
  readonly backCents: number;
  /** `cents` + `backCents`. */
  readonly leftCents: number;
}

/** A comma product: ratio, words and cents. */
export interface CommaReport {
  /** Numerator and denominator, `80/81`; as powers of primes where they get too long: `2^400·3^-400·5^100`. */
  readonly ratio: string;
  readonly words: string;
  readonly cents: number;
}

/** The distance of a key class at its end from where it first sounded. */
export interface KeyClassReport {
  /** 0 (C) to 11 (B). */
  readonly keyClass: number;
  readonly moved: CommaReport;
}

/** How the notes were sent, and what the outlet couldn't do; all its instances together. */
export interface OutletReport extends OutletCounters {
  readonly kind: OutletChoice['kind'];
}

/** The report of a retuned file. */
export function toDoneReport(
  input: string,
  output: string,
  file: MidiFile,
  warnings: readonly Problem[],
  retuned: Retuned,
): DoneReport {
  const names = tracksOf(file).map(toTrackName);
  const pieces = retuned.sequences.map((sequence) => toPieceReport(sequence, names));
  return { ok: true, input, output, format: file.format, warnings, pieces };
}

/** The whole report. */
export function toRetuneReport(
  settings: TunerSettings,
  files: readonly FileReport[],
  planning: Planning,
): RetuneReport {
  return {
    kind: 'leeway retune report',
    version: REPORT_VERSION,
    settings: toSettingsReport(settings),
    plan: toPlanningReport(planning),
    files,
  };
}

/** @example toPlanningReport({ end: 'home', smoothSeconds: 10 })  // { end: 'home', smoothSeconds: 10 } */
export function toPlanningReport(planning: Planning): PlanningReport | null {
  return planning === 'live' ? null : { end: planning.end, smoothSeconds: planning.smoothSeconds };
}

/** @example toCommaReport([4, -4, 1, 0, 0, 0])  // { ratio: '80/81', words: '−1 syntonic comma', cents: -21.506 } */
export function toCommaReport(v: PrimeVector): CommaReport {
  return { ratio: formatRatio(v), words: formatComma(v), cents: roundCents(toDeviationCents(v)) };
}

/**
 * @example
 * const drift = { commas: [4, -4, 1, 0, 0, 0], backCents: 13.506, leftCents: -8 };
 * toDriftReport(drift).leftCents  // -8
 */
export function toDriftReport({ commas, backCents, leftCents }: Drift): DriftReport {
  return { ...toCommaReport(commas), backCents: roundCents(backCents), leftCents: roundCents(leftCents) };
}

/** Cents in JSON: to a thousandth, and never -0. @example roundCents(-21.50629)  // -21.506 */
export function roundCents(cents: number): number {
  return Math.round(cents * 1000) / 1000 + 0;
}

function toPartReports({ parts, noteCounts }: RetunedSequence, names: readonly string[]): PartReport[] {
  return parts.parts.map(({ index, track, channel, role }) => ({
    track: track < 0 ? null : track + 1,
    channel: channel + 1,
    name: names[track] ?? '',
    role,
    notes: noteCounts[index],
  }));
}

function toPieceReport(sequence: RetunedSequence, names: readonly string[]): PieceReport {
  const parts = toPartReports(sequence, names);
  const { ending } = sequence;
  const { tuner } = sequence.line;
  const { totals, accounts } = tuner.ledger;
  return {
    seconds: roundCents(sequence.lengthMs / 1000),
    notes: parts.reduce((sum, { role, notes }) => sum + (role === 'tuned' ? notes : 0), 0),
    parts,
    ending: ending === undefined ? null : toEndingReport(ending),
    totals: {
      glidedCents: roundCents(totals.glidedCents),
      jumpedCents: roundCents(totals.jumpedCents),
      offsetTravelCents: roundCents(totals.offsetTravelCents),
      returns: totals.returns,
      impurityCentSeconds: roundCents(totals.impurityCentSeconds),
    },
    keyClasses: accounts.flatMap((account, keyClass) =>
      account === undefined ? [] : [{ keyClass, moved: toCommaReport(toReturned(tuner.ledger, keyClass)) }],
    ),
    plan: sequence.plan === undefined ? null : toPlanReport(sequence.plan),
    outlet: toOutletReport(sequence),
  };
}

function toPlanReport({ options, ratios, wayHome }: WholePlan): PlanReport {
  const { returns, liveReturns, isBest } = ratios;
  return {
    returns,
    liveReturns,
    isBest,
    wayHome: options.end === 'open' ? null : toWayHomeReport(wayHome),
  };
}

function toWayHomeReport({ returns }: WholePlan['wayHome']): WayHomeReport {
  return {
    returns: returns.length,
    againstHeld: returns.filter(({ held }) => held > 0).length,
    widestCents: roundCents(returns.reduce((widest, { cents }) => Math.max(widest, Math.abs(cents)), 0)),
  };
}

function toEndingReport({ drift, fromHomeCents }: Ending): EndingReport {
  return { drift: toDriftReport(drift), fromHomeCents: roundCents(fromHomeCents) };
}

function toOutletReport({ outlets }: RetunedSequence): OutletReport {
  const sum = { clampedBends: 0, sharedNotes: 0, hurriedNotes: 0, foldedNotes: 0, peakChannels: 0 };
  for (const { counters } of outlets) {
    sum.clampedBends += counters.clampedBends;
    sum.sharedNotes += counters.sharedNotes;
    sum.hurriedNotes += counters.hurriedNotes;
    sum.foldedNotes += counters.foldedNotes;
    sum.peakChannels = Math.max(sum.peakChannels, counters.peakChannels);
  }
  return { kind: outlets[0]?.kind ?? 'mpe', ...sum };
}
