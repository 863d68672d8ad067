import { type FrameSources, type Tuners, toEntryFact, toFrame } from '../../src/core/monitor/index.js';
import {
  BARE_STAGE,
  type EntryFact,
  type Frame,
  forStrategies,
  STRATEGIES,
} from '../../src/core/protocol/index.js';
import {
  createTuner,
  type SoundingNote,
  type Strategy,
  step,
  type TunerEvent,
  type TunerOut,
  type TunerSettings,
  toSettings,
} from '../../src/core/tuner/index.js';
import { RoutedOutlet } from './routing.js';

/** Counters of a session in which nothing went wrong. */
export const QUIET_COUNTERS: Frame['counters'] = {
  medianMs: 0.02,
  p99Ms: 0.1,
  worstMs: 0.4,
  notes: 0,
  queued: 0,
  droppedFrames: 0,
  viewers: 1,
  clampedBends: 0,
  sharedNotes: 0,
  foldedNotes: 0,
};

/** Tuners, one a strategy, that are told the same notes, and what a session remembers beside them. */
export class Trio {
  readonly tuners: Tuners;
  #strategy: Strategy;
  #bypass = false;
  readonly #routed = new RoutedOutlet();
  entries: EntryFact[] = [];
  pass = 0;
  nowMs = 0;
  strikeMs: number | null = null;
  lastKeys: number[] = [];
  readonly #counts: Record<Strategy, number> = forStrategies(() => 0);

  constructor(changes: Partial<TunerSettings> = {}, strategy: Strategy = 'anchored') {
    const one = (which: Strategy) => createTuner(toSettings({ ...changes, strategy: which }));
    this.tuners = forStrategies(one);
    this.#strategy = strategy;
  }

  /** The one that sounds. */
  get strategy(): Strategy {
    return this.#strategy;
  }

  set strategy(strategy: Strategy) {
    this.#strategy = strategy;
    this.#resound();
  }

  /** Whether everything sounds in 12 equal instead. */
  get bypass(): boolean {
    return this.#bypass;
  }

  set bypass(bypass: boolean) {
    this.#bypass = bypass;
    this.#resound();
  }

  /** Tells all of them the same event. */
  tell(event: TunerEvent): this {
    this.nowMs = event.atMs;
    for (const which of STRATEGIES) {
      const tuner = this.tuners[which];
      step(tuner, event, this.#listener(which));
    }
    if (event.kind === 'note-on') this.strikeMs = event.atMs;
    const sounding = this.tuners[this.strategy].notes.map((note) => note.key).sort((a, b) => a - b);
    if (sounding.length > 0) this.lastKeys = sounding;
    return this;
  }

  /** Lets time pass. */
  wait(ms: number): this {
    return this.tell({ kind: 'time', atMs: this.nowMs + ms });
  }

  /** Plays the next chord and holds it; keys of `tied` that are down stay down. */
  chord(keys: readonly number[], tied: readonly number[] = keys, holdMs = 500): this {
    const down = this.tuners.free.notes.filter((note) => note.keyDown).map((note) => note.key);
    const kept = down.filter((key) => keys.includes(key) && tied.includes(key));
    const at = { atMs: this.nowMs, part: 0 };
    for (const key of down) if (!kept.includes(key)) this.tell({ kind: 'note-off', ...at, key });
    for (const key of keys) if (!kept.includes(key)) this.tell({ kind: 'note-on', ...at, key });
    return this.wait(holdMs);
  }

  /** A frame of now, with the entries since the last one. */
  frame(changes: Partial<FrameSources> = {}): Frame {
    const entries = this.entries;
    this.entries = [];
    return toFrame({
      atMs: this.nowMs,
      strategy: this.strategy,
      bypass: this.#bypass,
      tuners: this.tuners,
      strikeMs: this.strikeMs,
      sentAs: ({ id }) => this.#routed.of(id),
      entries,
      playing: null,
      stage: BARE_STAGE,
      counters: QUIET_COUNTERS,
      ...changes,
    });
  }

  /** What sounds moves to where it is to be now. */
  #resound(): void {
    for (const note of this.tuners[this.#strategy].notes)
      this.#routed.retune(this.nowMs, note, this.#toSent(note, note.reportedCents));
  }

  #toSent(note: Readonly<SoundingNote>, cents: number): number {
    return this.#bypass ? 100 * note.key + this.tuners[this.#strategy].settings.referenceCents : cents;
  }

  #listener(which: Strategy): TunerOut {
    const routed = () => (which === this.#strategy ? this.#routed : undefined);
    return {
      start: (atMs, note, cents) => routed()?.start(atMs, note, this.#toSent(note, cents)),
      retune: (atMs, note, cents) => routed()?.retune(atMs, note, this.#toSent(note, cents)),
      release: (atMs, note) => routed()?.release(atMs, note),
      end: (atMs, note) => routed()?.end(atMs, note),
      enter: (entry) => {
        const n = ++this.#counts[which];
        this.entries.push(toEntryFact(this.tuners[which], entry, { n, pass: this.pass }));
      },
    };
  }
}
