import type { PlayingState } from '../../core/monitor/index.js';
import type { Piece } from '../../core/score/index.js';
import type { Clock, Ticker } from '../../io/clock/index.js';

/** Period of its timer, in milliseconds: far below audible lateness. */
const TICK_MS = 4;
/** Shortest pass, so that an empty loop doesn't run without pause. */
const LEAST_LENGTH_MS = 250;
/** If it is later than this, perhaps after sleep, it continues from where it was. */
const MOST_LATE_MS = 1000;

/** A piece with its name. */
export interface NamedPiece extends Piece {
  readonly name: string;
}

/** Receives a piece and its state. */
export interface PieceStage {
  /** Takes a whole channel message, at once. */
  readonly play: (bytes: Uint8Array) => void;
  /** Everything the piece still holds is to be released. */
  readonly release: () => void;
  /** The state of playing, whenever it doesn't follow from the one before; `null` in silence. */
  readonly tell: (playing: PlayingState | null) => void;
}

/** Plays one piece at a time into a session, in time, at any tempo, in a loop on request. */
export class PiecePlayer {
  readonly #clock: Clock;
  readonly #stage: PieceStage;
  #ticker: Ticker | undefined;
  #piece: NamedPiece | undefined;
  #next = 0;
  #startMs = 0;
  #tempo = 1;
  #loop = false;
  #pass = { n: 1, atMs: 0 };

  constructor(clock: Clock, stage: PieceStage) {
    this.#clock = clock;
    this.#stage = stage;
  }

  get name(): string | undefined {
    return this.#piece?.name;
  }

  /** @param tempo times the written one */
  start(piece: NamedPiece, tempo: number, loop: boolean): void {
    this.stop();
    const nowMs = this.#clock.now();
    this.#piece = piece;
    this.#next = 0;
    this.#startMs = nowMs;
    this.#tempo = tempo;
    this.#loop = loop;
    this.#pass = { n: 1, atMs: nowMs };
    this.#tell();
    this.#ticker = this.#clock.every(TICK_MS, () => this.#tick());
    this.#tick();
  }

  /** Releases everything it holds. Does nothing in silence. */
  stop(): void {
    if (this.#piece === undefined) return;
    this.#piece = undefined;
    this.#ticker?.stop();
    this.#ticker = undefined;
    this.#stage.release();
    this.#stage.tell(null);
  }

  setTempo(tempo: number): void {
    if (this.#piece === undefined) return;
    const nowMs = this.#clock.now();
    const writtenMs = (nowMs - this.#startMs) * this.#tempo;
    this.#tempo = tempo;
    this.#startMs = nowMs - writtenMs / tempo;
    this.#tell();
  }

  setLoop(loop: boolean): void {
    if (this.#piece === undefined) return;
    this.#loop = loop;
    this.#tell();
  }

  #tick(): void {
    for (;;) {
      const piece = this.#piece;
      if (piece === undefined) return;
      const isOver = this.#next >= piece.timesMs.length;
      const dueMs = this.#startMs + (isOver ? toLength(piece) : piece.timesMs[this.#next]) / this.#tempo;
      const nowMs = this.#clock.now();
      if (dueMs > nowMs) return;
      if (nowMs - dueMs > MOST_LATE_MS) {
        this.#startMs += nowMs - dueMs;
        this.#tell();
      }
      if (isOver) this.#end(piece, nowMs);
      else this.#stage.play(toMessage(piece.messages, this.#next++));
    }
  }

  #end(piece: NamedPiece, nowMs: number): void {
    if (!this.#loop) {
      this.stop();
      return;
    }
    this.#stage.release();
    this.#next = 0;
    this.#startMs += toLength(piece) / this.#tempo;
    this.#pass = { n: this.#pass.n + 1, atMs: nowMs };
    this.#tell();
  }

  #tell(): void {
    const piece = this.#piece;
    if (piece === undefined) return;
    this.#stage.tell({
      name: piece.name,
      title: piece.title,
      tempo: this.#tempo,
      loop: this.#loop,
      isPaused: false,
      pass: this.#pass,
      positionMs: 0,
      atMs: this.#startMs,
      lengthMs: toLength(piece),
      fromMs: 0,
      toMs: toLength(piece),
    });
  }
}

function toLength({ lengthMs }: Piece): number {
  return Math.max(LEAST_LENGTH_MS, lengthMs);
}

function toMessage(messages: Uint8Array, i: number): Uint8Array {
  const isShort = (messages[3 * i] & 0xe0) === 0xc0;
  return messages.subarray(3 * i, 3 * i + (isShort ? 2 : 3));
}
