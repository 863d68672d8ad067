import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn } from '../midi/index.js';
import type { Piece } from './piece.js';
import { PERCUSSION_CHANNEL } from './roles.js';

/** Notes struck within so many milliseconds, as written, are one chord. */
const TOGETHER_MS = 35;

/** What sounds once some notes of a piece have been struck together. Times in milliseconds as written. */
export interface PieceChord {
  /** When the first of them is struck, and the last. */
  readonly atMs: number;
  readonly lastMs: number;
  /** Index of the message that strikes the last, and of the first one later than that. */
  readonly lastIndex: number;
  readonly end: number;
  /** The keys that sound then, tied ones too, from the lowest up. */
  readonly keys: readonly number[];
}

/**
 * The chords of a piece, in order: notes struck within 35 ms are one, with everything that sounds on. Percussion is left
 * out. A pedal holds the keys of its channel.
 *
 * @example toChords(toPiece(file))[0].keys  // [60]
 */
export function toChords({ timesMs, messages }: Pick<Piece, 'timesMs' | 'messages'>): PieceChord[] {
  const chords: PieceChord[] = [];
  const sounding = new SoundingKeys();
  let open: { atMs: number; lastMs: number; lastIndex: number; end: number; keys: number[] } | undefined;
  let isPast = false;
  timesMs.forEach((ms, i) => {
    if (open !== undefined && !isPast && ms > open.lastMs) {
      open.end = i;
      open.keys = sounding.keys();
      isPast = true;
    }
    const [status, data1, data2] = messages.subarray(3 * i, 3 * i + 3);
    if ((status & 0x0f) === PERCUSSION_CHANNEL) return;
    sounding.take(status, data1, data2);
    if (!isNoteOn(status, data2)) return;
    if (open !== undefined && ms > open.atMs + TOGETHER_MS) {
      chords.push(open);
      open = undefined;
    }
    open ??= { atMs: ms, lastMs: ms, lastIndex: i, end: timesMs.length, keys: [] };
    open.lastMs = ms;
    open.lastIndex = i;
    isPast = false;
  });
  if (open !== undefined)
    chords.push(isPast ? open : { ...open, end: timesMs.length, keys: sounding.keys() });
  return chords;
}

/** The keys that sound on sixteen channels: those that are down, and those that a sustain pedal holds. */
class SoundingKeys {
  /** By channel and key: how often it is down. */
  readonly #down = new Map<number, number>();
  readonly #held = new Set<number>();
  readonly #pedals = new Uint8Array(16);

  take(status: number, data1: number, data2: number): void {
    const channel = status & 0x0f;
    const slot = 128 * channel + data1;
    if (isNoteOn(status, data2)) {
      this.#down.set(slot, (this.#down.get(slot) ?? 0) + 1);
      this.#held.delete(slot);
    } else if (isNoteOff(status, data2)) {
      const count = this.#down.get(slot) ?? 0;
      if (count > 1) this.#down.set(slot, count - 1);
      else if (this.#down.delete(slot) && this.#pedals[channel] === 1) this.#held.add(slot);
    } else if ((status & 0xf0) === CONTROL_CHANGE && data1 === CC.sustain) {
      this.#pedals[channel] = Number(data2 >= 64);
      if (data2 < 64) for (const one of this.#held) if (one >> 7 === channel) this.#held.delete(one);
    }
  }

  keys(): number[] {
    const keys = new Set([...this.#down.keys(), ...this.#held].map((slot) => slot & 0x7f));
    return [...keys].sort((a, b) => a - b);
  }
}
