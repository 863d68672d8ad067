import {
  type EntryFact,
  forStrategies,
  STRATEGIES,
  type Tuners,
  toEntryFact,
} from '../../core/feed/index.js';
import { isNoteOn } from '../../core/midi/index.js';
import { playMessage } from '../../core/score/index.js';
import {
  adjust,
  createTuner,
  fromKept,
  goHomeNext,
  goHomeNow,
  holdDrift,
  type KeptTuner,
  nextWakeMs,
  retell,
  type Strategy,
  step,
  type Tuner,
  type TunerOut,
  type TunerSettings,
  toKept,
  toSettings,
} from '../../core/tuner/index.js';
import type { KeptShadow, Sent } from './kept-feed.js';
import { ROW, ROW_LENGTH } from './rows.js';

/** Most ledger entries that wait for a frame; older ones are left out. */
const MOST_ENTRIES = 240;

/** Leeways of the strategies that have one, in cents. */
export type Leeways = Readonly<Record<'pull' | 'anchored', number>>;

/**
 * The session's tuner once more, and the other two strategies beside it: told the same, they decide the same. The one
 * that sounds is the session's own to the last cent.
 *
 * When the strategy changes, the music goes on from where it stands, as it does in the session: the tuner of the new
 * strategy takes over the place of the old one, and leaves its own.
 */
export class Shadow {
  #tuners: Record<Strategy, Tuner>;
  #strategy: Strategy;
  readonly #counts: Record<Strategy, number>;
  #strikeMs: number | null;
  #lastKeys: readonly number[];
  readonly #sent: Map<number, Sent>;
  readonly #bends: Uint16Array;
  #notes: number;
  #started: Sent | undefined;
  #velocity = 1;
  #entries: EntryFact[] = [];
  readonly #outs: Readonly<Record<Strategy, TunerOut>>;
  /** Pass of the piece that plays, for the entries. */
  pass = 0;

  constructor(settings: TunerSettings, leeways: Leeways, kept?: KeptShadow) {
    this.#strategy = kept?.strategy ?? settings.strategy;
    const one = (which: Strategy) =>
      kept === undefined ? createTuner(toStrategy(settings, which, leeways)) : fromKept(kept.tuners[which]);
    this.#tuners = forStrategies(one);
    this.#counts = { ...(kept?.counts ?? forStrategies(() => 0)) };
    this.#strikeMs = kept?.strikeMs ?? null;
    this.#lastKeys = kept?.lastKeys ?? [];
    this.#sent = new Map([...(kept?.sent ?? [])].map(([id, sent]) => [id, { ...sent }]));
    this.#bends = Uint16Array.from(kept?.bends ?? new Uint16Array(16).fill(8192));
    this.#notes = kept?.notes ?? 0;
    this.#outs = forStrategies((which) => this.#toOut(which));
  }

  get tuners(): Tuners {
    return this.#tuners;
  }

  /** The one that sounds. */
  get strategy(): Strategy {
    return this.#strategy;
  }

  get strikeMs(): number | null {
    return this.#strikeMs;
  }

  /** Keys of the chord that sounded last, from the lowest up. */
  get lastKeys(): readonly number[] {
    return this.#lastKeys;
  }

  /** Notes struck since the session began. */
  get notes(): number {
    return this.#notes;
  }

  /** Up to when everything has been told, in milliseconds; 0 before anything was. */
  get nowMs(): number {
    return Math.max(0, this.#tuners[this.#strategy].nowMs);
  }

  /** Whether anything moves by itself under any strategy. */
  get isMoving(): boolean {
    return STRATEGIES.some((which) => nextWakeMs(this.#tuners[which]) !== Infinity);
  }

  /** The new ledger entries since the last call, oldest first. */
  takeEntries(): EntryFact[] {
    return this.#entries.splice(0);
  }

  /** How a note was struck and sent; `undefined` if nothing is known of it. */
  sentOf(id: number): { velocity: number; channel: number | null; bend: number | null } | undefined {
    const sent = this.#sent.get(id);
    if (sent === undefined) return undefined;
    return { ...sent, bend: sent.channel === null ? null : this.#bends[sent.channel] };
  }

  /** Works off rows as the session wrote them. @returns whether they tell of anything but the time */
  take(rows: Float64Array): boolean {
    let isNews = false;
    for (let i = 0; i + ROW_LENGTH <= rows.length; i += ROW_LENGTH) {
      if (rows[i] !== ROW.time) isNews = true;
      this.#row(rows[i], rows[i + 1], rows[i + 2], rows[i + 3]);
    }
    return isNews;
  }

  /** The settings have changed. @param atMs when, if everything sounded on; `null`: in silence */
  retell(settings: TunerSettings, leeways: Leeways, atMs: number | null = null): void {
    const { strategy } = settings;
    for (const which of STRATEGIES) this.#comeToRest(which, atMs);
    if (strategy !== this.#strategy) {
      const kept = toKept(this.#tuners[this.#strategy]);
      if (kept !== undefined) this.#tuners[strategy] = fromKept(kept);
      this.#strategy = strategy;
    }
    for (const which of STRATEGIES) {
      const [tuner, its] = [this.#tuners[which], toStrategy(settings, which, leeways)];
      this.#tuners[which] = atMs === null ? retell(tuner, its) : adjust(tuner, its, atMs, this.#outs[which]);
    }
  }

  /** All of it as plain data; `undefined` while a strike is open. */
  keep(): KeptShadow | undefined {
    const tuners = forStrategies((which) => toKept(this.#tuners[which]));
    if (!areAllKept(tuners)) return undefined;
    return {
      tuners,
      strategy: this.#strategy,
      counts: { ...this.#counts },
      strikeMs: this.#strikeMs,
      lastKeys: this.#lastKeys,
      sent: this.#sent,
      bends: this.#bends,
      notes: this.#notes,
    };
  }

  #row(what: number, atMs: number, a: number, b: number): void {
    switch (what) {
      case ROW.heard:
        this.#hear(atMs, a, b >> 16, (b >> 8) & 0xff, b & 0xff);
        break;
      case ROW.silenced:
        this.#each((tuner, out) => step(tuner, { kind: 'silence', atMs, part: a }, out));
        break;
      case ROW.homeNow:
        this.#each((tuner, out) => goHomeNow(tuner, atMs, out));
        break;
      case ROW.homeNext:
        this.#pass(atMs);
        this.#each((tuner) => goHomeNext(tuner));
        break;
      case ROW.heldDrift:
        this.#pass(atMs);
        this.#each((tuner) => holdDrift(tuner, a === 1));
        break;
      case ROW.restarted:
        for (const which of STRATEGIES) {
          const { settings, nowMs, nextId } = this.#tuners[which];
          this.#tuners[which] = { ...createTuner(settings), nowMs, nextId };
        }
        this.#sent.clear();
        break;
      case ROW.sentOn:
        if (this.#started !== undefined) this.#started.channel = a;
        break;
      case ROW.sentBend:
        this.#bends[a] = b;
        break;
      default:
        this.#pass(atMs);
    }
  }

  #hear(atMs: number, part: number, status: number, data1: number, data2: number): void {
    const isOn = isNoteOn(status, data2);
    if (isOn) {
      this.#velocity = data2;
      this.#strikeMs = atMs;
      this.#notes++;
    }
    this.#started = undefined;
    this.#each((tuner, out) => playMessage(tuner, atMs, part, status, data1, data2, out));
    const { notes } = this.#tuners[this.#strategy];
    if (notes.length > 0) this.#lastKeys = notes.map((note) => note.key).sort((a, b) => a - b);
  }

  #pass(atMs: number): void {
    this.#each((tuner, out) => step(tuner, { kind: 'time', atMs }, out));
  }

  #each(run: (tuner: Tuner, out: TunerOut) => void): void {
    for (const which of STRATEGIES) run(this.#tuners[which], this.#outs[which]);
  }

  /** Nothing is left open: everything has ended, or what sounds is settled. */
  #comeToRest(which: Strategy, atMs: number | null): void {
    const [tuner, out] = [this.#tuners[which], this.#outs[which]];
    if (atMs !== null) {
      this.#tuners[which] = adjust(tuner, tuner.settings, atMs, out);
      return;
    }
    for (const part of new Set(tuner.notes.map((note) => note.part)))
      step(tuner, { kind: 'silence', atMs: tuner.nowMs, part }, out);
    // In silence no strike is open for long; one that is has nothing left to decide.
    tuner.strike = undefined;
  }

  #toOut(which: Strategy): TunerOut {
    return {
      start: (_atMs, note) => {
        if (which !== this.#strategy) return;
        this.#started = { velocity: this.#velocity, channel: null };
        this.#sent.set(note.id, this.#started);
      },
      retune: () => {},
      release: () => {},
      end: (_atMs, note) => {
        if (which === this.#strategy) this.#sent.delete(note.id);
      },
      enter: (entry) => {
        const n = ++this.#counts[which];
        this.#entries.push(toEntryFact(this.#tuners[which], entry, { n, pass: this.pass }));
        if (this.#entries.length > MOST_ENTRIES) this.#entries.shift();
      },
    };
  }
}

function areAllKept(
  tuners: Readonly<Record<Strategy, KeptTuner | undefined>>,
): tuners is Record<Strategy, KeptTuner> {
  return STRATEGIES.every((which) => tuners[which] !== undefined);
}

/** Settings as they are under a strategy. */
function toStrategy(settings: TunerSettings, strategy: Strategy, leeways: Leeways): TunerSettings {
  if (strategy === settings.strategy) return settings;
  const has = strategy === 'pull' || strategy === 'anchored';
  const leewayCents = has ? leeways[strategy] : toSettings({ strategy }).leewayCents;
  return Object.freeze({ ...settings, strategy, leewayCents });
}
