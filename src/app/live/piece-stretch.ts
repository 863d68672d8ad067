import { type LeadIn, type Piece, type PieceChord, toChords, toLeadIn } from '../../core/score/index.js';

/** Shortest stretch, so that an empty loop doesn't run without pause. */
const LEAST_LENGTH_MS = 250;
/** An end this near to the beginning of a chord is meant to be there. */
const NEAR_MS = 30;

/** A piece with its name. */
export interface NamedPiece extends Piece {
  readonly name: string;
}

/** A place in a piece that is played round and round. */
export interface PiecePlace {
  /** The pass, from 1. */
  readonly n: number;
  /** Index of the next message, and the time in the piece, as written. */
  readonly next: number;
  readonly positionMs: number;
}

/** A stretch of a piece, in milliseconds as written. */
export interface Range {
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * A piece, or a stretch of it, as one pass plays it: which messages, and which chords. Indexes are those of the piece's
 * messages, times in milliseconds as written.
 */
export class PieceStretch {
  readonly piece: NamedPiece;
  readonly lengthMs: number;
  readonly fromMs: number;
  readonly toMs: number;
  /** Index of its first message, and of the one after its last. */
  readonly first: number;
  readonly end: number;
  readonly chords: readonly PieceChord[];
  /** What a pass begins with, since the stretch begins in the middle. */
  readonly leadIn: LeadIn;

  /** @param range both ends, taken to the beginnings of chords if they are near; `undefined`: the whole piece */
  constructor(piece: NamedPiece, range?: Range) {
    const all = toChords(piece);
    this.piece = piece;
    this.lengthMs = Math.max(LEAST_LENGTH_MS, piece.lengthMs);
    const { fromMs, toMs } = this.#toRange(all, range);
    this.fromMs = fromMs;
    this.toMs = toMs;
    this.first = fromMs === 0 ? 0 : this.indexAt(fromMs);
    this.end = toMs === this.lengthMs ? piece.timesMs.length : this.indexAt(toMs);
    this.chords = all.filter(({ lastIndex }) => lastIndex >= this.first && lastIndex < this.end);
    this.leadIn = toLeadIn(piece, this.first);
  }

  /** Index of the first message at this time or later. */
  indexAt(ms: number): number {
    const index = this.piece.timesMs.findIndex((one) => one >= ms);
    return index < 0 ? this.piece.timesMs.length : index;
  }

  /** Index of the first message later than this time. */
  indexAfter(ms: number): number {
    const index = this.piece.timesMs.findIndex((one) => one > ms);
    return index < 0 ? this.piece.timesMs.length : index;
  }

  /** The place of the chord before the one that sounds, perhaps of the pass before; `undefined` where there is none. */
  placeBefore(n: number, next: number): PiecePlace | undefined {
    const sounding = this.chords.findLastIndex(({ lastIndex }) => lastIndex < next);
    const chord = sounding > 0 ? this.chords[sounding - 1] : n > 1 ? this.chords.at(-1) : undefined;
    if (chord === undefined) return undefined;
    const { end, lastMs: positionMs } = chord;
    return { n: sounding > 0 ? n : n - 1, next: Math.min(end, this.end), positionMs };
  }

  /** The next chord from a message on. */
  chordAfter(next: number): PieceChord | undefined {
    return this.chords.find(({ lastIndex }) => lastIndex >= next);
  }

  /** Message `i` as bytes. */
  message(i: number): Uint8Array {
    return toMessage(this.piece.messages, i);
  }

  #toRange(chords: readonly PieceChord[], range: Range | undefined): Range {
    const { lengthMs } = this;
    if (range === undefined) return { fromMs: 0, toMs: lengthMs };
    const snap = (ms: number) => {
      const near = chords.find(({ atMs }) => Math.abs(atMs - ms) <= NEAR_MS)?.atMs ?? ms;
      return Math.max(0, Math.min(lengthMs, near));
    };
    const fromMs = Math.min(snap(range.fromMs), lengthMs - LEAST_LENGTH_MS);
    return { fromMs, toMs: Math.max(snap(range.toMs), fromMs + LEAST_LENGTH_MS) };
  }
}

/** A message without the byte that fills it up. @param i its index @example toMessage(Uint8Array.of(0xc0, 19, 0), 0).length  // 2 */
export function toMessage(messages: Uint8Array, i: number): Uint8Array {
  const isShort = (messages[3 * i] & 0xe0) === 0xc0;
  return messages.subarray(3 * i, 3 * i + (isShort ? 2 : 3));
}

/** Every message of a list, as bytes. */
export function* messagesOf(messages: Uint8Array): Generator<Uint8Array> {
  for (let i = 0; 3 * i < messages.length; i++) yield toMessage(messages, i);
}
