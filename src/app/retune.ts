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
  PERCUSSION_CHANNEL,
  type Planning,
  planPiece,
  toPartsByChannel,
  toPartsByTrack,
  visitInOrder,
  type WholePlan,
} from '../core/score/index.js';
import { createTuner, type SoundingNote, type TunerSettings } from '../core/tuner/index.js';
import { type Ending, toEnding } from './ending.js';
import { FileClock, openOutlets } from './file-outlet.js';
import type { OutletChoice } from './outlet-choice.js';
import { layOutByTrack, layOutTogether, type OutputLayout } from './output-layout.js';
import { isSystemReset } from './system-reset.js';

/** Options of `retune`. */
export interface RetuneOptions {
  readonly settings: TunerSettings;
  readonly outlet: OutletChoice;
  /** Planned as a whole, or tuned as it would be while it is played. */
  readonly plan: Planning;
}

/** A retuned file, and everything to report. */
export interface Retuned {
  readonly file: MidiFile;
  /** One for a file of format 0 or 1; one for each track of a format 2 file, whose tracks are separate pieces. */
  readonly sequences: readonly RetunedSequence[];
}

/** One piece, played from its start to its end. */
export interface RetunedSequence {
  readonly line: Line;
  readonly parts: PartMap;
  readonly outlets: readonly Outlet[];
  readonly lengthMs: number;
  /** How its last chord came out; undefined for a piece without a note. */
  readonly ending: Ending | undefined;
  /** Its plan; undefined if it was tuned by the live rule. */
  readonly plan: WholePlan | undefined;
}

/**
 * Plays a file through the tuner and returns it retuned. Only the notes' channels and bends change; tempo, metre,
 * markers, lyrics and percussion stay.
 *
 * With `mpe` and `mts` each track stays a track with separate channels; with `multichannel` everything tuned goes to
 * one track, because its channels are shared. The tracks of a format 2 file are retuned one by one. One of them with
 * several parts, or with percussion, never becomes a zone but multichannel, since it must stay one track.
 *
 * @param listener receives every decision, with its time in milliseconds
 */
export function retune(file: MidiFile, options: RetuneOptions, listener: LineListener = {}): Retuned {
  const tracks = tracksOf(file);
  if (file.format !== 2) {
    const its = { ...options, outlet: besidePercussion(options.outlet, tracks) };
    const { parts, layout } =
      options.outlet.kind === 'multichannel' ? splitByChannel(file, tracks) : splitByTrack(file, tracks);
    const sequence = playThrough(tracks, parts, layout, toTempoMap(file), its, listener);
    return { file: layout.toFile(), sequences: [sequence] };
  }
  const sequences: RetunedSequence[] = [];
  const chunks = file.chunks.slice();
  tracks.forEach((track, index) => {
    const { parts, layout } = splitByChannel({ ...file, chunks: [track] }, [track]);
    const alone = parts.parts.length <= 1 && !hasPercussion(track);
    const outlet = !alone && options.outlet.kind === 'mpe' ? toPlain(options.outlet) : options.outlet;
    const own = { ...options, outlet: besidePercussion(outlet, [track]) };
    sequences.push(playThrough([track], parts, layout, toTempoMap(file, index), own, listener));
    chunks[file.chunks.indexOf(track)] = tracksOf(layout.toFile())[0];
  });
  return { file: { ...file, chunks }, sequences };
}

function splitByChannel(file: MidiFile, tracks: readonly Track[]): { parts: PartMap; layout: OutputLayout } {
  const parts = toPartsByChannel(tracks);
  return { parts, layout: layOutTogether(file, tracks, parts.parts) };
}

function splitByTrack(file: MidiFile, tracks: readonly Track[]): { parts: PartMap; layout: OutputLayout } {
  const parts = toPartsByTrack(tracks);
  return { parts, layout: layOutByTrack(file, tracks, parts) };
}

function toPlain({ releaseHoldMs }: OutletChoice): OutletChoice {
  const plain = { kind: 'multichannel', bendRange: undefined } as const;
  return releaseHoldMs === undefined ? plain : { ...plain, releaseHoldMs };
}

/** Percussion's channel carries nothing else, chosen or not; unless there is no other. */
function besidePercussion(outlet: OutletChoice, tracks: readonly Track[]): OutletChoice {
  const others = outlet.channels?.filter((channel) => channel !== PERCUSSION_CHANNEL);
  if (others === undefined || others.length === 0 || !tracks.some(hasPercussion)) return outlet;
  return { ...outlet, channels: others };
}

/** A zone would use the percussion channel for itself. */
function hasPercussion({ events }: Track): boolean {
  return events.some((event) => event.kind === 'channel' && (event.status & 0x0f) === PERCUSSION_CHANNEL);
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
  const shared = outlets.length === 1;
  const lists = parts.parts.map((part) => [outlets[shared ? 0 : part.index].outlet]);
  const plan = planPiece(tracks, parts, (tick) => tempo.toMs(tick), options.settings, options.plan);
  /** What has ended since the last strike: with what still sounds it is the last chord. */
  const ended: Readonly<SoundingNote>[] = [];
  const tuner = createTuner(options.settings, plan?.guide);
  const line = new Line(
    tuner,
    (part) => lists[part],
    withEnded(listener, ended),
    (atMs) => clock.stamp(atMs),
  );

  const play = (part: number, { status, data1, data2 }: TrackEvent & { kind: 'channel' }): void => {
    outlets[shared ? 0 : part].makeReady();
    line.message(clock.atMs, part, status, data1, data2);
  };

  /** What was due before is sent first, so that ticks never decrease in a track that carries both. */
  const passUntuned = (event: TrackEvent, track: number): void => {
    line.time(clock.atMs);
    layout.untuned[track].push(event);
  };

  const playChannel = (event: TrackEvent & { kind: 'channel' }, track: number): void => {
    const { status, data1, data2 } = event;
    const channel = status & 0x0f;
    if (channel === PERCUSSION_CHANNEL) {
      passUntuned(event, track);
    } else if (isKeyMessage(status, data2)) {
      const part = parts.partOf(track, channel);
      if (part === undefined) passUntuned(event, track);
      else play(part, event);
    } else {
      const listeners = parts.listenersOf(track, channel, status, data1);
      if (listeners.length === 0) passUntuned(event, track);
      for (const part of listeners) play(part, event);
    }
  };

  /** A part ends with its own track; one that goes by channel, with the track of its notes. */
  const isOver = (part: Part, track: number): boolean =>
    part.track === track || layout.parts[part.index] === layout.home[track];

  visitInOrder(tracks, (event, track) => {
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
      for (const one of outlets) one.reset(clock.atMs);
    }
  });
  for (const part of parts.parts) line.silence(clock.atMs, part.index);
  line.time(clock.atMs + options.settings.strikeWindowMs);
  return {
    line,
    parts,
    outlets: outlets.map((one) => one.outlet),
    lengthMs: clock.atMs,
    ending: toEnding(
      tuner,
      [...ended, ...tuner.notes].sort((a, b) => a.id - b.id),
    ),
    plan,
  };
}

/** Collects the notes that have ended since the last one started. */
function withEnded(listener: LineListener, ended: Readonly<SoundingNote>[]): LineListener {
  return {
    event: (event) => listener.event?.(event),
    start(atMs, note, cents) {
      ended.length = 0;
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
