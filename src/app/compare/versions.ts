import { type MidiFile, tracksOf } from '../../core/midi/index.js';
import {
  type Course,
  DEFAULT_PLAN,
  type HeardNote,
  type PathPoint,
  type PieceFigures,
  PieceRecorder,
  type Planning,
  toCourse,
  toDriftPath,
  toEqual,
  toOffsetPath,
  toPieceFigures,
} from '../../core/score/index.js';
import {
  type LedgerEntry,
  type LedgerTotals,
  STRATEGIES,
  type Strategy,
  type TunerSettings,
  toSettings,
} from '../../core/tuner/index.js';
import type { Ending } from '../ending.js';
import { type RetuneOptions, retune } from '../retune.js';
import type { TrackRole } from '../track-roles.js';

/** A way to tune a compared piece: a strategy, the other way of planning, or 12 equal. */
export type VersionName = Strategy | OtherWay | 'equal';

/** The chosen strategy as it would be played, beside planned ones; planned as a whole, beside played ones. */
type OtherWay = 'live' | 'plan';

/** A piece in one tuning, and its measurements. */
export interface Version {
  readonly name: VersionName;
  /** For people: "free", "12 equal". */
  readonly title: string;
  /** As a file: retuned, or for 12 equal the piece itself. */
  readonly file: MidiFile;
  /** In the order they were struck. */
  readonly notes: readonly HeardNote[];
  readonly figures: PieceFigures;
  readonly course: Course;
  /** The drift left, over time; none for 12 equal. And the common offset; empty for 12 equal. */
  readonly drift: readonly PathPoint[];
  readonly offset: readonly PathPoint[];
  readonly entries: readonly LedgerEntry[];
  readonly totals: Readonly<LedgerTotals> | undefined;
  readonly ending: Ending | undefined;
}

/** A piece in all its versions. */
export interface Comparison {
  readonly lengthMs: number;
  readonly settings: TunerSettings;
  readonly planning: Planning;
  readonly roles: readonly TrackRole[];
  readonly versions: readonly Version[];
}

/** 12 equal, all strategies, and the other way. */
export const VERSION_COUNT = STRATEGIES.length + 2;

/** Rows of a course: enough for a wide picture. */
const CURVE_ROWS = 600;

/**
 * Tunes a piece under every strategy and measures the results. Each has its default leeway unless it is the chosen one.
 * 12 equal comes first. Last comes the other way of planning: the chosen strategy as it would be played live, or
 * planned where the others are played; `anchored` for `temper`, which a plan doesn't affect.
 *
 * @param file    of format 0 or 1
 * @param options limit, home, reference pitch, held and so on for all; strategy and leeway for the one they name
 * @param done    called with each finished version
 */
export function compareVersions(
  file: MidiFile,
  options: RetuneOptions,
  done: (version: Version) => void = () => {},
): Comparison {
  const { settings, plan: planning, roles = [] } = options;
  const versions: Version[] = [];
  let lengthMs = 0;
  for (const strategy of STRATEGIES) {
    const played = playVersion(file, { ...options, settings: withStrategy(settings, strategy) });
    lengthMs = played.lengthMs;
    if (versions.length === 0) {
      versions.push(toEqualVersion(file, played.version.notes, settings, lengthMs));
      done(versions[0]);
    }
    versions.push(played.version);
    done(played.version);
  }
  const strategy = settings.strategy === 'temper' ? 'anchored' : settings.strategy;
  const [name, title, otherWay] =
    planning === 'live'
      ? (['plan', `${strategy}, planned`, DEFAULT_PLAN] as const)
      : (['live', `${strategy}, live`, 'live'] as const);
  const { version } = playVersion(file, {
    ...options,
    settings: withStrategy(settings, strategy),
    plan: otherWay,
  });
  const other = { ...version, name, title };
  versions.push(other);
  done(other);
  return { lengthMs, settings, planning, roles, versions };
}

/** The same settings under a strategy, with the leeway chosen for it or else its default. */
function withStrategy(settings: TunerSettings, strategy: Strategy): TunerSettings {
  const { leewayCents } = strategy === settings.strategy ? settings : toSettings({ strategy });
  return { ...settings, strategy, leewayCents };
}

function playVersion(file: MidiFile, options: RetuneOptions): { version: Version; lengthMs: number } {
  const { settings } = options;
  const recorder = new PieceRecorder();
  const retuned = retune(file, options, recorder);
  const [{ line, parts, lengthMs, ending }] = retuned.sequences;
  // A guide's notes aren't written to the file.
  const all = recorder.toNotes();
  const notes = all.filter(({ part }) => parts.parts[part].role !== 'guide');
  const { entries } = recorder;
  const version: Version = {
    name: settings.strategy,
    title: settings.strategy,
    file: retuned.file,
    ...measure(notes, settings, lengthMs),
    drift: toDriftPath(entries, all[0]?.onMs ?? 0),
    offset: toOffsetPath(entries),
    entries,
    totals: line.tuner.ledger.totals,
    ending,
  };
  return { version, lengthMs };
}

function toEqualVersion(
  file: MidiFile,
  notes: readonly HeardNote[],
  settings: TunerSettings,
  lengthMs: number,
): Version {
  return {
    name: 'equal',
    title: '12 equal',
    file,
    ...measure(toEqual(notes, settings.referenceCents), settings, lengthMs),
    drift: toDriftPath([], 0),
    offset: [],
    entries: [],
    totals: undefined,
    ending: undefined,
  };
}

function measure(notes: readonly HeardNote[], settings: TunerSettings, lengthMs: number) {
  const { home, referenceCents } = settings;
  const toHomeCents = (key: number) => home.deviationCents[key % 12] + referenceCents;
  return {
    notes,
    figures: toPieceFigures(notes, toHomeCents),
    course: toCourse(notes, toHomeCents, lengthMs, CURVE_ROWS),
  };
}

/** One track of a file whose tracks are separate pieces, as a file. @param piece from 0 */
export function toOnePiece(file: MidiFile, piece: number): MidiFile {
  if (file.format !== 2) return file;
  return { ...file, format: 1, chunks: tracksOf(file).slice(piece, piece + 1) };
}
