import { isKeyMessage, Line, type LineListener } from '../core/line/index.js';
import {
  META,
  type MidiFile,
  type TempoMap,
  type Track,
  type TrackEvent,
  toTempoMap,
  toWireMessage,
  tracksOf,
} from '../core/midi/index.js';
import type { Outlet } from '../core/outlet/index.js';
import {
  type Part,
  type PartMap,
  type Planning,
  planPiece,
  playPart,
  type RoleOf,
  toPartsByChannel,
  toPartsByTrack,
  visitInOrder,
  type WholePlan,
} from '../core/score/index.js';
import { createTuner, type SoundingNote, type TunerSettings } from '../core/tuner/index.js';
import { type Ending, toEnding } from './ending.js';
import { FileClock, openOutlets } from './file-outlet.js';
import { besideOthers, type OutletChoice, toPlain } from './outlet-choice.js';
import { layOutByTrack, layOutTogether, type OutputLayout } from './output-layout.js';
import { isSystemReset } from './system-reset.js';
import { type TrackRole, toRoleOf } from './track-roles.js';

/** Options of `retune`. */
export interface RetuneOptions {
  readonly settings: TunerSettings;
  readonly outlet: OutletChoice;
  /** Planned as a whole, or tuned as it would be while it is played. */
  readonly plan: Planning;
  /** What becomes of the tracks: the first that fits one holds. */
  readonly roles?: readonly TrackRole[];
}

/** A retuned file, and everything to report. */
export interface Retuned {
  readonly file: MidiFile;
  /** One for a file of format 0 or 1; one for each track of a format 2 file, whose tracks are separate pieces. */
  readonly sequences: readonly RetunedSequence[];
}

/** The parts of a piece, and where they go. */
interface Split {
  readonly parts: PartMap;
  readonly layout: OutputLayout;
}

/** One piece, played from its start to its end. */
export interface RetunedSequence {
  readonly line: Line;
  readonly parts: PartMap;
  /** How many notes each part played. */
  readonly noteCounts: readonly number[];
  readonly outlets: readonly Outlet[];
  readonly lengthMs: number;
  /** How its last chord came out; undefined for a piece without a note. */
  readonly ending: Ending | undefined;
  /** Its plan; undefined if it was tuned by the live rule. */
  readonly plan: WholePlan | undefined;
}

/**
 * Plays a file through the tuner and returns it retuned. Only the notes' channels and bends change; tempo, metre,
 * markers, lyrics and percussion stay, and so does all that isn't tuned. The notes of a guide are left out.
 *
 * With `mpe` and `mts` each track stays a track with separate channels; with `multichannel` everything tuned goes to
 * one track, because its channels are shared. The tracks of a format 2 file are retuned one by one. One of them with
 * several parts, or with percussion, never becomes a zone but multichannel, since it must stay one track.
 *
 * Throws a LeewayError CHANNELS_TAKEN where plain channels are shared with what isn't tuned, and none is left.
 *
 * @param listener receives every decision, with its time in milliseconds
 */
export function retune(file: MidiFile, options: RetuneOptions, listener: LineListener = {}): Retuned {
  const tracks = tracksOf(file);
  const roleOf = toRoleOf(tracks, options.roles ?? []);
  if (file.format !== 2) {
    const isShared = options.outlet.kind === 'multichannel';
    const { parts, layout } = isShared
      ? splitByChannel(file, tracks, roleOf)
      : splitByTrack(file, tracks, roleOf);
    const outlet = besidePassing(options.outlet, tracks, parts);
    const sequence = playThrough(tracks, parts, layout, toTempoMap(file), { ...options, outlet }, listener);
    return { file: layout.toFile(), sequences: [sequence] };
  }
  const sequences: RetunedSequence[] = [];
  const chunks = file.chunks.slice();
  tracks.forEach((track, index) => {
    const { parts, layout } = splitByChannel({ ...file, chunks: [track] }, [track], (_, channel) =>
      roleOf(index, channel),
    );
    const isAlone = parts.parts.filter(isTuned).length <= 1 && toPassing([track], parts).size === 0;
    const outlet = !isAlone && options.outlet.kind === 'mpe' ? toPlain(options.outlet) : options.outlet;
    const own = { ...options, outlet: besidePassing(outlet, [track], parts) };
    sequences.push(playThrough([track], parts, layout, toTempoMap(file, index), own, listener));
    chunks[file.chunks.indexOf(track)] = tracksOf(layout.toFile())[0];
  });
  return { file: { ...file, chunks }, sequences };
}

function splitByChannel(file: MidiFile, tracks: readonly Track[], roleOf: RoleOf): Split {
  const parts = toPartsByChannel(tracks, roleOf);
  return { parts, layout: layOutTogether(file, tracks, parts.parts) };
}

function splitByTrack(file: MidiFile, tracks: readonly Track[], roleOf: RoleOf): Split {
  const parts = toPartsByTrack(tracks, roleOf);
  return { parts, layout: layOutByTrack(file, tracks, parts) };
}

function isTuned({ role }: Part): boolean {
  return role === 'tuned';
}

/** The outlet on channels that carry nothing else. */
function besidePassing(outlet: OutletChoice, tracks: readonly Track[], parts: PartMap): OutletChoice {
  return parts.parts.some(isTuned) ? besideOthers(outlet, toPassing(tracks, parts)) : outlet;
}

/** The channels on which anything goes out as it came. */
function toPassing(tracks: readonly Track[], parts: PartMap): Set<number> {
  const passing = new Set<number>();
  tracks.forEach(({ events }, track) => {
    for (const event of events) {
      if (event.kind !== 'channel') continue;
      const channel = event.status & 0x0f;
      if (parts.passesOn(track, channel, event.status, event.data1)) passing.add(channel);
    }
  });
  return passing;
}

function playThrough(
  tracks: readonly Track[],
  parts: PartMap,
  layout: OutputLayout,
  tempo: TempoMap,
  options: RetuneOptions,
  listener: LineListener,
): RetunedSequence {
  const clock = new FileClock(tempo);
  const outlets = openOutlets(parts, layout, options.outlet, clock);
  const opened = [...new Set(outlets)].filter((one) => one !== undefined);
  const lists = outlets.map((one) => (one === undefined ? [] : [one.outlet]));
  const plan = planPiece(tracks, parts, (tick) => tempo.toMs(tick), options.settings, options.plan);
  const noteCounts = parts.parts.map(() => 0);
  /** What has ended since the last strike: with what still sounds it is the last chord. */
  const ended: Readonly<SoundingNote>[] = [];
  const tuner = createTuner(options.settings, plan?.guide);
  const line = new Line(
    tuner,
    (part) => lists[part],
    withEnded(listener, ended, noteCounts),
    (atMs) => clock.stamp(atMs),
  );

  const play = (
    part: number,
    { status, data1, data2 }: TrackEvent & { kind: 'channel' },
    finger: number,
  ): void => {
    outlets[part]?.makeReady();
    playPart(line, parts.parts[part], clock.atMs, status, data1, data2, finger);
  };

  const playChannel = (event: TrackEvent & { kind: 'channel' }, track: number): void => {
    const { status, data1, data2 } = event;
    const channel = status & 0x0f;
    const finger = parts.fingerOf(track, channel);
    if (parts.passesOn(track, channel, status, data1)) {
      // What was due before is sent first, so that ticks never decrease in a track that carries both.
      line.time(clock.atMs);
      layout.untuned[track].push(event);
    }
    if (isKeyMessage(status, data2)) {
      const part = parts.partOf(track, channel);
      if (part !== undefined) play(part, event, finger);
    } else for (const part of parts.listenersOf(track, channel, status, data1)) play(part, event, finger);
  };

  /** A part ends with its own track; one that goes by channel, with the track of its notes. */
  const isOver = (part: Part, track: number): boolean =>
    part.track === track || layout.parts[part.index] === layout.home[track];

  const visit = (event: TrackEvent, track: number): void => {
    clock.goTo(event.tick);
    if (event.kind === 'channel') {
      playChannel(event, track);
      return;
    }
    line.time(clock.atMs);
    if (event.kind === 'meta' && event.type === META.endOfTrack) {
      for (const part of parts.parts) if (isOver(part, track)) line.silence(clock.atMs, part.index);
    }
    clock.goTo(event.tick);
    layout.home[track].push(event);
    if (event.kind === 'sysex' && isSystemReset(toWireMessage(event))) {
      for (const one of opened) one.reset(clock.atMs);
    }
  };
  visitInOrder(tracks, visit, parts);
  for (const part of parts.parts) line.silence(clock.atMs, part.index);
  line.time(clock.atMs + options.settings.strikeWindowMs);
  return {
    line,
    parts,
    noteCounts,
    outlets: opened.map((one) => one.outlet),
    lengthMs: clock.atMs,
    ending: toEnding(
      tuner,
      [...ended, ...tuner.notes].sort((a, b) => a.id - b.id),
    ),
    plan,
  };
}

/** Collects the notes that have ended since the last one started, and counts them by part. */
function withEnded(
  listener: LineListener,
  ended: Readonly<SoundingNote>[],
  noteCounts: number[],
): LineListener {
  return {
    event: (event) => listener.event?.(event),
    start(atMs, note, cents) {
      ended.length = 0;
      noteCounts[note.part]++;
      listener.start?.(atMs, note, cents);
    },
    retune: (atMs, note, cents) => listener.retune?.(atMs, note, cents),
    release: (atMs, note) => listener.release?.(atMs, note),
    end(atMs, note) {
      ended.push(note);
      listener.end?.(atMs, note);
    },
    enter: (entry) => listener.enter?.(entry),
  };
}
