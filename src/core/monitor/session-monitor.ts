import {
  BARE_STAGE,
  type EntryFact,
  FEED_VERSION,
  type Frame,
  forStrategies,
  LIMITS,
  type PassFact,
  type PieceFact,
  type PlayingFact,
  type ScoreFact,
  type SettingsFact,
  type Snapshot,
  type StageFact,
  toThousandth,
} from '../protocol/index.js';
import { type TunerSettings, toDrift } from '../tuner/index.js';
import { DriftHistory } from './drift-history.js';
import { toFrame } from './frames.js';
import { PastRecorder } from './past-recorder.js';
import type { PlayingState, SessionCounters, SessionFacts, SessionMessage } from './session-messages.js';
import { toSettingsFact } from './settings-facts.js';
import type { MonitorSnapshot } from './snapshot.js';
import { TunerReplicas } from './tuner-replicas.js';

/** Counters of the server. */
export interface MonitorCounters {
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

/** The present and the recent past of a session, updated by its messages; frames and snapshots are made from it. */
export class SessionMonitor {
  readonly replicas: TunerReplicas;
  #drift = new DriftHistory();
  readonly #pieces: readonly PieceFact[];
  readonly #session: string;
  #passes: PassFact[];
  #tail: EntryFact[];
  #settings: TunerSettings;
  #facts: SessionFacts;
  #playing: PlayingState | null;
  #score: ScoreFact | null;
  #stage: StageFact;
  #figures = NO_FIGURES;

  constructor(
    start: {
      readonly settings: TunerSettings;
      readonly facts: SessionFacts;
      readonly pieces: readonly PieceFact[];
      readonly session: string;
    },
    snapshot?: MonitorSnapshot,
  ) {
    this.#settings = snapshot?.settings ?? start.settings;
    this.#facts = snapshot?.facts ?? start.facts;
    this.#pieces = start.pieces;
    this.#session = start.session;
    this.replicas = new TunerReplicas(this.#settings, this.#facts.leewayCents, snapshot?.replicas);
    for (const point of snapshot?.drift ?? []) this.#drift.record(point);
    this.#passes = [...(snapshot?.passes ?? [])];
    this.#tail = [...(snapshot?.tail ?? [])];
    this.#playing = snapshot?.playing ?? null;
    this.#score = snapshot?.score ?? null;
    this.#stage = snapshot?.stage ?? BARE_STAGE;
    this.replicas.pass = this.#playing?.pass.n ?? 0;
  }

  /** Whether a frame should follow soon without a message: something moves, fades, sounds or plays. */
  get isAlive(): boolean {
    const { sounding, isMoving } = this.replicas;
    return isMoving || sounding.notes.length > 0 || this.#playing !== null;
  }

  /**
   * Takes a message of the session.
   * @returns its effect for viewers: nothing, something in the next frame, new settings, another score, all is other than it was
   */
  take(message: SessionMessage): 'nothing' | 'frame' | 'settings' | 'score' | 'rebuilt' {
    switch (message.kind) {
      case 'rows':
        return this.replicas.takeRows(message.rows) ? 'frame' : 'nothing';
      case 'settings':
        this.#settings = message.settings;
        this.#facts = message.facts;
        this.replicas.changeSettings(message.atMs, message.settings, message.facts.leewayCents);
        return 'settings';
      case 'heard':
        this.#settings = message.settings;
        this.#facts = message.facts;
        this.replicas.hear(message.settings.strategy);
        return 'settings';
      case 'facts':
        this.#facts = message.facts;
        this.replicas.changeLeeways(message.atMs, message.facts.leewayCents);
        return 'settings';
      case 'rebuilt':
        this.#rebuild(message);
        return 'rebuilt';
      case 'playing':
        this.#play(message.playing);
        return 'frame';
      case 'score':
        this.#score = message.score;
        return 'score';
      case 'stage':
        this.#stage = message.stage;
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

  settings(): SettingsFact {
    return toSettingsFact(this.#settings, this.#facts);
  }

  get score(): ScoreFact | null {
    return this.#score;
  }

  /** Records the drift of each strategy now. Call it regularly, a frame's time apart. */
  record(): void {
    this.#drift.record({ atMs: this.replicas.nowMs, ...this.#left() });
  }

  /** A frame of now, with the ledger's entries since the last one. */
  frame(counters: MonitorCounters): Frame {
    const entries = this.replicas.takeEntries();
    this.#tail = [...this.#tail, ...entries].slice(-LIMITS.entries);
    return this.#toFrame(entries, counters);
  }

  /** Everything to show. Entries since the last frame come with the next one. */
  toViewerSnapshot(mayControl: boolean, counters: MonitorCounters): Snapshot {
    return {
      type: 'snapshot',
      version: FEED_VERSION,
      session: this.#session,
      mayControl,
      settings: this.settings(),
      pieces: [...this.#pieces],
      course: this.#drift.toFact(),
      passes: this.#passes.slice(-LIMITS.passes),
      score: this.#score,
      frame: this.#toFrame(this.#tail, counters),
    };
  }

  /** The state as plain data, with what the next frame would send; `undefined` while a strike is open. */
  toSnapshot(): MonitorSnapshot | undefined {
    const replicas = this.replicas.toSnapshot();
    if (replicas === undefined) return undefined;
    this.record();
    const { atMs, ...lines } = this.#drift.toFact();
    const drift = atMs.map((ms, i) => ({ atMs: ms, ...forStrategies((which) => lines[which][i]) }));
    return {
      replicas,
      settings: this.#settings,
      facts: this.#facts,
      drift,
      passes: this.#passes,
      tail: [...this.#tail, ...this.replicas.newEntries].slice(-LIMITS.entries),
      playing: this.#playing,
      score: this.#score,
      stage: this.#stage,
    };
  }

  #left(): PassFact['left'] {
    const { tuners } = this.replicas;
    return forStrategies((which) => toThousandth(toDrift(tuners[which]).leftCents));
  }

  /** Plays the past again, and records it as if it had been seen. */
  #rebuild({ atMs, nextId, passes }: Extract<SessionMessage, { kind: 'rebuilt' }>): void {
    const { replicas } = this;
    replicas.begin(nextId);
    this.#drift = new DriftHistory();
    this.#passes = [];
    this.#tail = [];
    const past = new PastRecorder(replicas, () => this.record());
    for (const { n, atMs: began, rows } of passes) {
      replicas.pass = n;
      this.#beginPass({ n, atMs: began });
      replicas.replay(rows, (event) => past.before(event));
    }
    past.finish(atMs);
  }

  #play(playing: PlayingState | null): void {
    this.#playing = playing;
    this.replicas.pass = playing?.pass.n ?? 0;
    const pass = playing?.pass;
    const last = this.#passes.at(-1);
    if (pass !== undefined && (last?.n !== pass.n || last.atMs !== pass.atMs)) this.#beginPass(pass);
  }

  #beginPass({ n, atMs }: { readonly n: number; readonly atMs: number }): void {
    this.#passes = [...this.#passes, { n, atMs, left: this.#left() }].slice(-LIMITS.passes);
  }

  #toFrame(entries: readonly EntryFact[], { droppedFrames, viewers }: MonitorCounters): Frame {
    const { replicas } = this;
    const { carries, bypass } = this.#facts;
    return toFrame({
      atMs: replicas.nowMs,
      strategy: replicas.strategy,
      bypass,
      tuners: replicas.tuners,
      strikeMs: replicas.strikeMs,
      sentAs: ({ id }) => {
        const { channel, bend } = replicas.sentAs(id);
        return {
          channel: carries === 'nothing' ? null : channel,
          bend: carries === 'channel and bend' ? bend : null,
        };
      },
      entries,
      playing: this.#toPlayingFact(),
      stage: this.#stage,
      counters: { ...this.#figures, notes: replicas.notes, droppedFrames, viewers },
    });
  }

  #toPlayingFact(): PlayingFact | null {
    const playing = this.#playing;
    if (playing === null) return null;
    const { atMs, pass: _, ...rest } = playing;
    const { tempo, isPaused, fromMs, toMs } = playing;
    const passedMs = isPaused ? 0 : tempo * (this.replicas.nowMs - atMs);
    const positionMs = Math.min(Math.max(fromMs, playing.positionMs + passedMs), toMs);
    return { ...rest, pass: this.#passes.at(-1)!, positionMs: Math.round(positionMs) };
  }
}
