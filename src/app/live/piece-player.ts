import type { PlayingState } from '../../core/monitor/index.js';
import type { Clock, Ticker } from '../../io/clock/index.js';
import { PiecePast } from './piece-past.js';
import { messagesOf, type NamedPiece, type PiecePlace, PieceStretch, type Range } from './piece-stretch.js';

/** Period of its timer, in milliseconds: far below audible lateness. */
const TICK_MS = 4;
/** If it is later than this, perhaps after sleep, it continues from where it was. */
const MOST_LATE_MS = 1000;

/** Receives a piece and its state. */
export interface PieceStage {
  /** Takes a whole channel message, at once. */
  readonly play: (bytes: Uint8Array) => void;
  /** Everything the piece still holds is to be released. */
  readonly release: () => void;
  /** Everything before is forgotten: the music is now as if this had been played, and nothing else. */
  readonly rebuild: (past: PiecePast) => void;
  /** The state of playing, whenever it doesn't follow from the one before; `null` in silence. */
  readonly tell: (playing: PlayingState | null) => void;
}

/** How a piece is started. Tempo is in times the written one. */
export interface PieceStart {
  readonly tempo: number;
  readonly loop: boolean;
  /** Only this stretch. */
  readonly range?: Range | undefined;
  /** It pauses at its first chord. */
  readonly isPaused?: boolean;
}

/**
 * Plays one piece at a time into a session, in time, at any tempo, in a loop on request. It can pause, go from chord
 * to chord, and go to any place of any pass. Times in a piece are in milliseconds as written.
 */
export class PiecePlayer {
  readonly #clock: Clock;
  readonly #stage: PieceStage;
  #ticker: Ticker | undefined;
  #stretch: PieceStretch | undefined;
  #next = 0;
  /** A place in the piece, and when it was reached. */
  #positionMs = 0;
  #atMs = 0;
  #isPaused = false;
  #tempo = 1;
  #loop = false;
  #pass = { n: 1, atMs: 0 };

  constructor(clock: Clock, stage: PieceStage) {
    this.#clock = clock;
    this.#stage = stage;
  }

  get piece(): NamedPiece | undefined {
    return this.#stretch?.piece;
  }

  /** Starts a piece without drift. */
  start(piece: NamedPiece, { tempo, loop, range, isPaused = false }: PieceStart): void {
    this.stop();
    this.#tempo = tempo;
    this.#loop = loop;
    this.#isPaused = isPaused;
    this.#ticker = this.#clock.every(TICK_MS, () => this.#tick());
    this.#begin(new PieceStretch(piece, range));
  }

  /** Releases everything it holds. Does nothing in silence. */
  stop(): void {
    if (this.#stretch === undefined) return;
    this.#stretch = undefined;
    this.#ticker?.stop();
    this.#ticker = undefined;
    this.#stage.release();
    this.#stage.tell(null);
  }

  /** From the beginning, without drift. */
  startOver(): void {
    if (this.#stretch !== undefined) this.#begin(this.#stretch);
  }

  /** Loops a stretch, from its beginning and without drift; `undefined`: the whole piece. */
  setStretch(range: Range | undefined): void {
    if (this.#stretch === undefined) return;
    if (range !== undefined) this.#loop = true;
    this.#begin(new PieceStretch(this.#stretch.piece, range));
  }

  /** Pauses while the chord sounds on, or goes on. */
  pause(isPaused: boolean): void {
    if (this.#stretch === undefined || isPaused === this.#isPaused) return;
    this.#hold();
    this.#isPaused = isPaused;
    this.tell();
    this.#tick();
  }

  setTempo(tempo: number): void {
    if (this.#stretch === undefined) return;
    this.#hold();
    this.#tempo = tempo;
    this.tell();
  }

  setLoop(loop: boolean): void {
    if (this.#stretch === undefined) return;
    this.#loop = loop;
    this.tell();
  }

  /** Goes to the next chord, or the one before, and pauses there. */
  step(by: -1 | 1): void {
    const stretch = this.#stretch;
    if (stretch === undefined) return;
    this.#hold();
    this.#isPaused = true;
    if (by === 1) this.#toNextChord(stretch);
    else {
      const place = stretch.placeBefore(this.#pass.n, this.#next);
      if (place !== undefined) this.#goTo(stretch, place);
    }
    this.tell();
  }

  /** Goes to a place of a pass. A piece that doesn't loop has no passes to come. */
  seek(pass: number, ms: number): void {
    const stretch = this.#stretch;
    if (stretch === undefined) return;
    const wanted = Math.max(stretch.fromMs, Math.min(stretch.toMs, ms));
    // A chord that isn't struck at once is struck whole when the piece pauses at it.
    const chord = this.#isPaused
      ? stretch.chords.find(({ atMs, lastMs }) => atMs <= wanted && wanted <= lastMs)
      : undefined;
    const positionMs = chord?.lastMs ?? wanted;
    const next = Math.max(stretch.first, Math.min(stretch.end, stretch.indexAfter(positionMs)));
    this.#goTo(stretch, { n: this.#loop ? pass : Math.min(pass, this.#pass.n), next, positionMs });
    this.tell();
    this.#tick();
  }

  /** The beginning of a stretch: nothing was played before. */
  #begin(stretch: PieceStretch): void {
    this.#stretch = stretch;
    const nowMs = this.#clock.now();
    this.#stage.rebuild(new PiecePast(stretch, undefined, nowMs, this.#tempo));
    this.#beginPass(stretch, 1, nowMs, nowMs);
    if (this.#isPaused) {
      this.#toNextChord(stretch);
      this.tell();
    } else this.#tick();
  }

  /** @param atMs when it is due: `nowMs`, or just before it */
  #beginPass(stretch: PieceStretch, n: number, nowMs: number, atMs: number): void {
    this.#next = stretch.first;
    this.#positionMs = stretch.fromMs;
    this.#atMs = atMs;
    this.#pass = { n, atMs: nowMs };
    this.tell();
    for (const messages of [stretch.leadIn.controls, stretch.leadIn.notes])
      for (const bytes of messagesOf(messages)) this.#stage.play(bytes);
  }

  #goTo(stretch: PieceStretch, place: PiecePlace): void {
    const nowMs = this.#clock.now();
    const past = new PiecePast(stretch, place, nowMs, this.#tempo);
    this.#next = place.next;
    this.#positionMs = place.positionMs;
    this.#atMs = nowMs;
    this.#pass = past.passes.at(-1)!;
    this.#stage.rebuild(past);
  }

  /** Plays up to the next chord at once; nothing where there is none. */
  #toNextChord(stretch: PieceStretch): void {
    let chord = stretch.chordAfter(this.#next);
    if (chord === undefined) {
      const [first] = stretch.chords;
      if (!this.#loop || first === undefined) return;
      this.#playUntil(stretch, stretch.end);
      this.#stage.release();
      const nowMs = this.#clock.now();
      this.#beginPass(stretch, this.#pass.n + 1, nowMs, nowMs);
      chord = first;
    }
    this.#playUntil(stretch, Math.min(chord.end, stretch.end));
    this.#positionMs = chord.lastMs;
    this.#atMs = this.#clock.now();
  }

  #playUntil(stretch: PieceStretch, end: number): void {
    while (this.#next < end) this.#stage.play(stretch.message(this.#next++));
  }

  /** Counts time from now on. */
  #hold(): void {
    const nowMs = this.#clock.now();
    if (!this.#isPaused) this.#positionMs += (nowMs - this.#atMs) * this.#tempo;
    this.#atMs = nowMs;
  }

  #tick(): void {
    for (;;) {
      const stretch = this.#stretch;
      if (stretch === undefined || this.#isPaused) return;
      const isOver = this.#next >= stretch.end;
      const writtenMs = isOver ? stretch.toMs : stretch.piece.timesMs[this.#next];
      const dueMs = this.#atMs + (writtenMs - this.#positionMs) / this.#tempo;
      const nowMs = this.#clock.now();
      if (dueMs > nowMs) return;
      if (nowMs - dueMs > MOST_LATE_MS) {
        this.#atMs += nowMs - dueMs;
        this.tell();
      }
      if (!isOver) this.#stage.play(stretch.message(this.#next++));
      else if (!this.#loop) this.stop();
      else {
        this.#stage.release();
        this.#beginPass(stretch, this.#pass.n + 1, nowMs, nowMs - dueMs > MOST_LATE_MS ? nowMs : dueMs);
      }
    }
  }

  /** Tells the state of playing; nothing in silence. */
  tell(): void {
    const stretch = this.#stretch;
    if (stretch === undefined) return;
    this.#stage.tell({
      name: stretch.piece.name,
      title: stretch.piece.title,
      tempo: this.#tempo,
      loop: this.#loop,
      isPaused: this.#isPaused,
      pass: this.#pass,
      positionMs: this.#positionMs,
      atMs: this.#atMs,
      lengthMs: stretch.lengthMs,
      fromMs: stretch.fromMs,
      toMs: stretch.toMs,
    });
  }
}
