import { type EntryFact, forStrategies, type Tuners, toEntryFact } from '../../core/feed/index.js';
import { isNoteOn } from '../../core/midi/index.js';
import { playMessage } from '../../core/score/index.js';
import {
  goHomeNext,
  goHomeNow,
  holdDrift,
  type Strategy,
  step,
  type TunerOut,
  type TunerSettings,
} from '../../core/tuner/index.js';
import type { KeptShadow } from './kept-feed.js';
import { ROW, ROW_LENGTH } from './rows.js';
import { SentBook } from './sent-book.js';
import { type Leeways, StrategyTuners } from './strategy-tuners.js';

/** Most ledger entries that wait for a frame; older ones are left out. */
const MOST_ENTRIES = 240;

/**
 * The session's tuner once more, and those of the other strategies beside it: told the same, they decide the same. The
 * one that sounds is the session's own to the last cent.
 */
export class Shadow {
  readonly #tuners: StrategyTuners;
  readonly #counts: Record<Strategy, number>;
  #strikeMs: number | null;
  /** What of the chord that sounded last the keys are read from, when they are asked for. */
  #lastNotes: readonly { readonly key: number }[];
  readonly #sent: SentBook;
  #notes: number;
  #entries: EntryFact[] = [];
  /** Pass of the piece that plays, for the entries. */
  pass = 0;

  constructor(settings: TunerSettings, leeways: Leeways, kept?: KeptShadow) {
    const outs = forStrategies((which) => this.#toOut(which));
    this.#tuners = new StrategyTuners(settings, leeways, outs, kept);
    this.#counts = { ...(kept?.counts ?? forStrategies(() => 0)) };
    this.#strikeMs = kept?.strikeMs ?? null;
    this.#lastNotes = (kept?.lastKeys ?? []).map((key) => ({ key }));
    this.#sent = new SentBook(kept);
    this.#notes = kept?.notes ?? 0;
  }

  get tuners(): Tuners {
    return this.#tuners.all;
  }

  /** The one that sounds. */
  get strategy(): Strategy {
    return this.#tuners.strategy;
  }

  get strikeMs(): number | null {
    return this.#strikeMs;
  }

  /** Keys of the chord that sounded last, from the lowest up. */
  get lastKeys(): readonly number[] {
    return this.#lastNotes.map((note) => note.key).sort((a, b) => a - b);
  }

  /** Notes struck since the session began. */
  get notes(): number {
    return this.#notes;
  }

  /** How the sounding notes were struck and sent. */
  get sent(): Pick<SentBook, 'of'> {
    return this.#sent;
  }

  /** Up to when everything has been told, in milliseconds; 0 before anything was. */
  get nowMs(): number {
    return Math.max(0, this.#tuners.sounding.nowMs);
  }

  /** Whether anything moves by itself under any strategy. */
  get isMoving(): boolean {
    return this.#tuners.isMoving;
  }

  /** The ledger entries that nobody took yet, oldest first. */
  get newEntries(): readonly EntryFact[] {
    return this.#entries;
  }

  /** The new ledger entries since the last call, oldest first. */
  takeEntries(): EntryFact[] {
    return this.#entries.splice(0);
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
    this.#tuners.retell(settings, leeways, atMs);
  }

  /** All of it as plain data; `undefined` while a strike is open. */
  keep(): KeptShadow | undefined {
    const tuners = this.#tuners.keep();
    if (tuners === undefined) return undefined;
    return {
      ...tuners,
      ...this.#sent.keep(),
      counts: { ...this.#counts },
      strikeMs: this.#strikeMs,
      lastKeys: this.lastKeys,
      notes: this.#notes,
    };
  }

  #row(what: number, atMs: number, a: number, b: number): void {
    const tuners = this.#tuners;
    switch (what) {
      case ROW.heard:
        this.#hear(atMs, a, b >> 16, (b >> 8) & 0xff, b & 0xff);
        break;
      case ROW.silenced:
        tuners.each((tuner, out) => step(tuner, { kind: 'silence', atMs, part: a }, out));
        break;
      case ROW.homeNow:
        tuners.each((tuner, out) => goHomeNow(tuner, atMs, out));
        break;
      case ROW.homeNext:
        tuners.pass(atMs);
        tuners.each((tuner) => goHomeNext(tuner));
        break;
      case ROW.heldDrift:
        tuners.pass(atMs);
        tuners.each((tuner) => holdDrift(tuner, a === 1));
        break;
      case ROW.restarted:
        tuners.restart();
        this.#sent.clear();
        break;
      case ROW.sentOn:
        this.#sent.carry(a);
        break;
      case ROW.sentBend:
        this.#sent.bend(a, b);
        break;
      default:
        tuners.pass(atMs);
    }
  }

  #hear(atMs: number, part: number, status: number, data1: number, data2: number): void {
    const isOn = isNoteOn(status, data2);
    if (isOn) {
      this.#strikeMs = atMs;
      this.#notes++;
    }
    this.#sent.strike(isOn ? data2 : undefined);
    this.#tuners.each((tuner, out) => playMessage(tuner, atMs, part, status, data1, data2, out));
    const { notes } = this.#tuners.sounding;
    if (notes.length > 0) this.#lastNotes = notes.slice();
  }

  #toOut(which: Strategy): TunerOut {
    return {
      start: (_atMs, note) => {
        if (which === this.strategy) this.#sent.begin(note.id);
      },
      retune: () => {},
      release: () => {},
      end: (_atMs, note) => {
        if (which === this.strategy) this.#sent.end(note.id);
      },
      enter: (entry) => {
        const n = ++this.#counts[which];
        this.#entries.push(toEntryFact(this.tuners[which], entry, { n, pass: this.pass }));
        if (this.#entries.length > MOST_ENTRIES) this.#entries.shift();
      },
    };
  }
}
