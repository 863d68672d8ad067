import {
  type MetreMap,
  type MidiFile,
  type Track,
  toMetreMap,
  toTempoMap,
  tracksOf,
} from '../core/midi/index.js';
import {
  type Moment,
  type MomentNote,
  type Part,
  type PartMap,
  type Planning,
  planPiece,
  type RoleOf,
  recountMoments,
  toPartsByChannel,
  toPartsByTrack,
} from '../core/score/index.js';
import type { LedgerEntry, ReturnEntry, Tuner, TunerSettings } from '../core/tuner/index.js';
import { toTrackName } from './track-name.js';
import { type TrackRole, toRoleOf } from './track-roles.js';

/** The bars to explain, both included; the first bar is 1. */
export interface BarRange {
  readonly from: number;
  readonly to: number;
}

/** A moment, and its place in the metre. */
export interface PlacedMoment extends Moment {
  readonly bar: number;
  /** From 1; 2.5 is halfway between the second beat and the third. A beat is one lower figure of the signature. */
  readonly beat: number;
}

/** A stream of playing, numbered for people: `track` from 1, `channel` 1 to 16. */
export interface ExplainedPart {
  readonly track: number;
  readonly channel: number;
  readonly name: string;
  readonly role: Part['role'];
}

/** A piece, chord by chord. */
export interface Explanation {
  /** Its track, from 1, in a file of format 2, whose tracks are separate pieces; else undefined. */
  readonly track: number | undefined;
  /** How it was tuned: planned, or as it would be played. */
  readonly planning: Planning;
  readonly parts: readonly ExplainedPart[];
  readonly moments: readonly PlacedMoment[];
  /** How many moments the whole piece has, and the bar of the last one: 0 if there is none. */
  readonly momentCount: number;
  readonly lastBar: number;
  /** Ledger entries after the last moment; empty if the requested bars end before it. */
  readonly closing: readonly LedgerEntry[];
  /** The tuner at the end of the whole piece. */
  readonly tuner: Tuner;
}

/**
 * Explains a file chord by chord, with the decisions `retune` makes for it: one explanation for format 0 and 1, one for
 * each track of format 2. The whole piece is always played, since earlier notes decide later ones; `bars` only selects.
 *
 * @param roles what becomes of the tracks, as `retune` takes it
 */
export function explain(
  file: MidiFile,
  settings: TunerSettings,
  planning: Planning,
  bars?: BarRange,
  roles: readonly TrackRole[] = [],
): Explanation[] {
  const tracks = tracksOf(file);
  const explainOne = (index: number) =>
    explainPiece(file, tracks, index, settings, planning, bars, toRoleOf(tracks, roles));
  return file.format === 2 ? tracks.map((_, index) => explainOne(index)) : [explainOne(0)];
}

function explainPiece(
  file: MidiFile,
  allTracks: readonly Track[],
  index: number,
  settings: TunerSettings,
  planning: Planning,
  bars: BarRange | undefined,
  roleOf: RoleOf,
): Explanation {
  const alone = file.format === 2;
  const tracks = alone ? [allTracks[index]] : allTracks;
  const parts = alone
    ? toPartsByChannel(tracks, (_, channel) => roleOf(index, channel))
    : toPartsByTrack(tracks, roleOf);
  const tempo = toTempoMap(file, index);
  const metre = toMetreMap(file, index);
  const toMs = (tick: number) => tempo.toMs(tick);
  const plan = planPiece(tracks, parts, toMs, settings, planning);
  const account = recountMoments(tracks, parts, toMs, settings, plan?.guide ?? 'live');
  const placed = account.moments.map((moment) => ({ ...moment, ...toBarAndBeat(metre, moment.tick) }));
  const moments =
    bars === undefined ? placed : placed.filter(({ bar }) => bar >= bars.from && bar <= bars.to);
  const tellsEnd = moments.at(-1) === placed.at(-1);
  return {
    track: alone ? index + 1 : undefined,
    planning,
    parts: describeParts(parts, tracks, alone ? index : 0),
    moments,
    momentCount: placed.length,
    lastBar: placed.at(-1)?.bar ?? 0,
    closing: tellsEnd ? account.closing : [],
    tuner: account.tuner,
  };
}

/**
 * Bar and beat of a tick, the beat with its fraction.
 * @example toBarAndBeat(toMetreMap(file), 48)  // { bar: 1, beat: 1.5 }, at 96 ticks a quarter note in 4/4
 */
export function toBarAndBeat(metre: MetreMap, tick: number): { bar: number; beat: number } {
  const { bar, beat, ticksIntoBeat } = metre.toPosition(tick);
  if (ticksIntoBeat === 0) return { bar, beat };
  const start = metre.toTick(bar);
  if (beat > 1) return { bar, beat: beat + ticksIntoBeat / ((tick - ticksIntoBeat - start) / (beat - 1)) };
  // On the first beat its length shows only from the bar's end; a bar of one beat is that long itself.
  const end = metre.toTick(bar + 1);
  const last = metre.toPosition(end - 1);
  const beatTicks =
    last.beat > 1 ? (end - 1 - last.ticksIntoBeat - start) / (last.beat - 1) : Math.max(1, end - start);
  return { bar, beat: beat + ticksIntoBeat / beatTicks };
}

function describeParts(parts: PartMap, tracks: readonly Track[], firstTrack: number): ExplainedPart[] {
  return parts.parts.map(({ track, channel, role }) => {
    const own = Math.max(0, track);
    return { track: firstTrack + own + 1, channel: channel + 1, name: toTrackName(tracks[own]), role };
  });
}

/** The note of a return, if the moment of its strike is at hand. */
export function findReturned(entry: ReturnEntry, notes: readonly MomentNote[]): MomentNote | undefined {
  return notes.find(
    (note) => note.key === entry.key && note.part === entry.part && note.presence === 'struck',
  );
}
