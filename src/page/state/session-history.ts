import {
  type DriftCurveFact,
  type Frame,
  type PassFact,
  STRATEGIES,
  type Strategy,
} from '../../core/protocol/index.js';
import { toProportion } from '../../core/theory/index.js';

/** A chord as it was struck. */
export interface LoggedChord {
  readonly atMs: number;
  /** Names from the lowest up: "C4⁰ E4⁻¹ G4⁰". */
  readonly names: string;
  /** "4:5:6", or empty. */
  readonly proportion: string;
  /** Mean place of its notes on the lattice: exponents of 3, 5 and 7. */
  readonly centre: readonly [number, number, number];
}

/** How far back the history goes. */
const REACH_MS = 610_000;
/** Closer points are joined: a twentieth of a second, half a pixel of ten seconds. */
const SPACING_MS = 45;
const MOST_CHORDS = 1500;

/** One of the drift curves. */
export type DriftLine = Strategy;

/**
 * The page's history of the session: the drift curves as columns, and the chords. Bounded; changed in place, `version`
 * increases with each change.
 */
export class SessionHistory {
  /** Seconds since the session began, and the drift under each strategy, in cents. */
  readonly seconds: number[] = [];
  readonly free: (number | null)[] = [];
  readonly pull: (number | null)[] = [];
  readonly anchored: (number | null)[] = [];
  readonly temper: (number | null)[] = [];
  readonly chords: LoggedChord[] = [];
  version = 0;
  #session: string | undefined;
  #beganMs: number | undefined;
  #strikeMs = -1;
  #chordIds = '';

  /**
   * Starts again from a snapshot. Chords of the same session stay, unless its first pass is another one: then the music
   * has begun again.
   */
  begin(curve: DriftCurveFact, session: string, [first]: readonly PassFact[] = []): void {
    for (const column of this.#columns()) column.length = 0;
    const beganMs = first?.n === 1 ? first.atMs : this.#beganMs;
    if (session !== this.#session || beganMs !== this.#beganMs) {
      this.#session = session;
      this.#beganMs = beganMs;
      this.chords.length = 0;
      this.#strikeMs = -1;
      this.#chordIds = '';
    }
    curve.atMs.forEach((ms, i) => {
      this.seconds.push(ms / 1000);
      for (const line of STRATEGIES) this[line].push(curve[line][i]);
    });
    this.version++;
  }

  /** Adds a frame. One older than the last is left out. */
  add(frame: Frame): void {
    const now = frame.atMs / 1000;
    const last = this.seconds.length - 1;
    if (last >= 0 && now < this.seconds[last]) return;
    // The last point is final only once it is far enough from the one before; until then the next replaces it.
    const replaces = last >= 1 && this.seconds[last] - this.seconds[last - 1] < SPACING_MS / 1000;
    if (replaces) this.#drop(last, 1);
    this.seconds.push(now);
    for (const line of STRATEGIES) this[line].push(frame.drift[line].leftCents);
    this.#addChord(frame);
    this.#forget(now);
    this.version++;
  }

  /** The last chord struck by `atMs`. */
  chordAt(atMs: number): LoggedChord | undefined {
    return this.chords.findLast((chord) => chord.atMs <= atMs);
  }

  #addChord({ notes, strikeMs }: Frame): void {
    // A strike is logged once it has settled: until then its notes may be revised.
    if (strikeMs === null || notes.length === 0 || notes.some((note) => note.presence === 'struck')) return;
    const ids = notes.map((note) => note.id).join(' ');
    if (strikeMs === this.#strikeMs || ids === this.#chordIds) return;
    this.#strikeMs = strikeMs;
    this.#chordIds = ids;
    const mean = (at: number) => notes.reduce((sum, note) => sum + note.point[at], 0) / notes.length;
    this.chords.push({
      atMs: strikeMs,
      names: notes.map((note) => note.name).join(' '),
      proportion: toProportion(notes.map((note) => note.point)) ?? '',
      centre: [mean(1), mean(2), mean(3)],
    });
    if (this.chords.length > MOST_CHORDS) this.chords.splice(0, this.chords.length - MOST_CHORDS);
  }

  #forget(now: number): void {
    const first = this.seconds.findIndex((second) => second >= now - REACH_MS / 1000);
    // Not at every frame: moving ten thousand numbers 30 times a second would be waste.
    if (first > 200) this.#drop(0, first);
  }

  #drop(from: number, count: number): void {
    for (const column of this.#columns()) column.splice(from, count);
  }

  #columns(): (number | null)[][] {
    return [this.seconds as (number | null)[], ...STRATEGIES.map((line) => this[line])];
  }
}
