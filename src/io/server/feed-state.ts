import {
  CourseMemory,
  type EntryFact,
  FEED_VERSION,
  type Frame,
  forStrategies,
  LIMITS,
  type PassFact,
  type PieceFact,
  type PlayingFact,
  type SettingsFact,
  type Snapshot,
  toFrame,
  toSettingsFact,
} from '../../core/feed/index.js';
import { fromKeptSettings, type KeptSettings, type Tuner, toDriftCents } from '../../core/tuner/index.js';
import type { KeptFeed } from './kept-feed.js';
import type { ToServer } from './protocol.js';
import type { PlayingState, SessionCounters, SessionFacts } from './session-facts.js';
import { Shadow } from './shadow.js';

/** What the server itself counts. */
export interface ServerCounters {
  droppedFrames: number;
  viewers: number;
}

const NO_FIGURES: SessionCounters = {
  medianMs: 0,
  p99Ms: 0,
  worstMs: 0,
  notes: 0,
  queued: 0,
  clampedBends: 0,
  sharedNotes: 0,
  foldedNotes: 0,
};

/** The present and the recent past of a session, made from what it tells; frames and snapshots are made from it. */
export class FeedState {
  readonly shadow: Shadow;
  readonly #course = new CourseMemory();
  readonly #pieces: readonly PieceFact[];
  readonly #session: string;
  #passes: PassFact[];
  #tail: EntryFact[];
  #settings: KeptSettings;
  #facts: SessionFacts;
  #playing: PlayingState | null;
  #figures = NO_FIGURES;

  constructor(
    start: {
      readonly settings: KeptSettings;
      readonly facts: SessionFacts;
      readonly pieces: readonly PieceFact[];
      readonly session: string;
    },
    kept?: KeptFeed,
  ) {
    this.#settings = kept?.settings ?? start.settings;
    this.#facts = kept?.facts ?? start.facts;
    this.#pieces = start.pieces;
    this.#session = start.session;
    this.shadow = new Shadow(fromKeptSettings(this.#settings), this.#facts.leewayCents, kept?.shadow);
    for (const point of kept?.course ?? []) this.#course.record(point);
    this.#passes = [...(kept?.passes ?? [])];
    this.#tail = [...(kept?.tail ?? [])];
    this.#playing = kept?.playing ?? null;
    this.shadow.pass = this.#playing?.pass.n ?? 0;
  }

  /** Whether a frame should follow soon though nothing is told: something moves, fades, sounds or plays. */
  get isAlive(): boolean {
    const { tuners, strategy, isMoving } = this.shadow;
    return isMoving || tuners[strategy].notes.length > 0 || this.#playing !== null;
  }

  /** Takes what the session told. @returns what viewers see of it: nothing, something in the next frame, new settings */
  take(message: ToServer): 'nothing' | 'frame' | 'settings' {
    switch (message.kind) {
      case 'rows':
        return this.shadow.take(message.rows) ? 'frame' : 'nothing';
      case 'retold':
        this.#settings = message.settings;
        this.#facts = message.facts;
        this.shadow.retell(fromKeptSettings(message.settings), message.facts.leewayCents, message.atMs);
        return 'settings';
      case 'facts':
        this.#facts = message.facts;
        return 'settings';
      case 'playing':
        this.#play(message.playing);
        return 'frame';
      case 'figures': {
        const isNews = JSON.stringify(message.counters) !== JSON.stringify(this.#figures);
        this.#figures = message.counters;
        return isNews ? 'frame' : 'nothing';
      }
      case 'notice':
      case 'answer':
        return 'nothing';
    }
  }

  /** The settings in force. */
  settings(): SettingsFact {
    const { leewayCents, bypass, inputs, outputs } = this.#facts;
    return toSettingsFact(fromKeptSettings(this.#settings), { leewayCents, bypass, inputs, outputs });
  }

  /** Puts where the strategies stand on record. To be called now and then, a frame's time apart. */
  record(): void {
    const { tuners } = this.shadow;
    const of = (tuner: Tuner) => (tuner.notes.length === 0 ? null : toDriftCents(tuner));
    this.#course.record({ atMs: this.shadow.nowMs, ...forStrategies((which) => of(tuners[which])) });
  }

  /** A frame of now, with the ledger's entries since the last one. */
  frame(counters: ServerCounters): Frame {
    const entries = this.shadow.takeEntries();
    this.#tail = [...this.#tail, ...entries].slice(-LIMITS.entries);
    return this.#toFrame(entries, counters);
  }

  /** Everything there is to show. Entries since the last frame come with the next one. */
  snapshot(mayControl: boolean, counters: ServerCounters): Snapshot {
    return {
      type: 'snapshot',
      version: FEED_VERSION,
      session: this.#session,
      mayControl,
      settings: this.settings(),
      pieces: [...this.#pieces],
      course: this.#course.toFact(),
      passes: this.#passes.slice(-LIMITS.passes),
      frame: this.#toFrame(this.#tail, counters),
    };
  }

  /** All of it as plain data, with what the frame to come would tell; `undefined` while a strike is open. */
  keep(): KeptFeed | undefined {
    const shadow = this.shadow.keep();
    if (shadow === undefined) return undefined;
    this.record();
    const { atMs, ...lines } = this.#course.toFact();
    const course = atMs.map((ms, i) => ({ atMs: ms, ...forStrategies((which) => lines[which][i]) }));
    return {
      shadow,
      settings: this.#settings,
      facts: this.#facts,
      course,
      passes: this.#passes,
      tail: [...this.#tail, ...this.shadow.newEntries].slice(-LIMITS.entries),
      playing: this.#playing,
    };
  }

  #play(playing: PlayingState | null): void {
    const before = this.#playing?.pass;
    this.#playing = playing;
    this.shadow.pass = playing?.pass.n ?? 0;
    if (playing === null) return;
    const { pass } = playing;
    if (before?.n !== pass.n || before.atMs !== pass.atMs)
      this.#passes = [...this.#passes, { ...pass }].slice(-LIMITS.passes);
  }

  #toFrame(entries: readonly EntryFact[], { droppedFrames, viewers }: ServerCounters): Frame {
    const { shadow } = this;
    const { carries, bypass } = this.#facts;
    return toFrame({
      atMs: shadow.nowMs,
      strategy: shadow.strategy,
      bypass,
      tuners: shadow.tuners,
      lastKeys: shadow.lastKeys,
      strikeMs: shadow.strikeMs,
      carriageOf: ({ id }) => {
        const { velocity = 64, channel = null, bend = null } = shadow.sent.of(id) ?? {};
        return {
          velocity,
          channel: carries === 'nothing' ? null : channel,
          bend: carries === 'channel and bend' ? bend : null,
        };
      },
      entries,
      playing: this.#toPlayingFact(),
      counters: { ...this.#figures, notes: shadow.notes, droppedFrames, viewers },
    });
  }

  #toPlayingFact(): PlayingFact | null {
    const playing = this.#playing;
    if (playing === null) return null;
    const { startMs, pass, ...rest } = playing;
    const positionMs = Math.min(Math.max(0, this.shadow.nowMs - startMs), playing.lengthMs);
    return { ...rest, pass: { ...pass }, positionMs: Math.round(positionMs) };
  }
}
