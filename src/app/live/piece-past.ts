import { toLeadIn } from '../../core/score/index.js';
import { messagesOf, type PiecePlace, type PieceStretch } from './piece-stretch.js';

/**
 * Most messages that are played again to get to a place: some 0.3 s of work. Beyond that only the present pass counts.
 */
export const MOST_REPLAYED = 8000;

/** A pass of the past: its number from 1, and when it began on the session's clock. */
export interface PastPass {
  readonly n: number;
  readonly atMs: number;
}

/**
 * A piece as if it had been played up to a place, which it reaches now: all its passes, at the present tempo.
 *
 * @example
 * const past = new PiecePast(stretch, { n: 2, next: 0, positionMs: 0 }, 60_000, 1);
 * past.passes  // [{ n: 1, atMs: 55000 }, { n: 2, atMs: 60000 }], for a piece of 5 s
 */
export class PiecePast {
  readonly passes: readonly PastPass[];
  /** Earlier passes are left out: they were too many messages. */
  readonly isCut: boolean;
  /** The controllers of the receiver as they are at that place. */
  readonly controls: Uint8Array;
  readonly #stretch: PieceStretch;
  readonly #place: PiecePlace;
  readonly #tempo: number;

  /**
   * @param place `undefined`: nothing of it was played yet
   * @param nowMs on the session's clock
   */
  constructor(stretch: PieceStretch, place: PiecePlace | undefined, nowMs: number, tempo: number) {
    this.#stretch = stretch;
    this.#tempo = tempo;
    const { first, end, fromMs, toMs } = stretch;
    const { n, next, positionMs } = place ?? { n: 0, next: first, positionMs: fromMs };
    this.#place = { n, next, positionMs };
    // A pass without messages takes time too.
    const whole = (n - 1) * Math.max(1, end - first + stretch.leadIn.controls.length / 3);
    this.isCut = whole + next - first > MOST_REPLAYED;
    const count = this.isCut ? 1 : n;
    this.passes = Array.from({ length: count }, (_, i) => {
      const pass = n - count + 1 + i;
      return { n: pass, atMs: nowMs - ((n - pass) * (toMs - fromMs) + positionMs - fromMs) / tempo };
    });
    this.controls = n === 0 ? new Uint8Array(0) : toLeadIn(stretch.piece, next).controls;
  }

  /** Plays a pass again. @param end at its end everything is released: the last one hasn't ended */
  replay(
    { n, atMs }: PastPass,
    play: (atMs: number, bytes: Uint8Array) => void,
    end: (atMs: number) => void,
  ): void {
    const { first, fromMs, toMs, leadIn, piece } = this.#stretch;
    const isLast = n === this.#place.n;
    for (const messages of [leadIn.controls, leadIn.notes])
      for (const bytes of messagesOf(messages)) play(atMs, bytes);
    const until = isLast ? this.#place.next : this.#stretch.end;
    for (let i = first; i < until; i++)
      play(atMs + (piece.timesMs[i] - fromMs) / this.#tempo, this.#stretch.message(i));
    if (!isLast) end(atMs + (toMs - fromMs) / this.#tempo);
  }
}
