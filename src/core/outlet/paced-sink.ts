import { isNoteOn, type MidiSink, PITCH_BEND, SYSEX } from '../midi/index.js';

/** Bytes a second on a DIN cable: 31 250 bits, ten to a byte. MIDI 1.0 Detailed Specification, Hardware. */
const DIN_BYTES_PER_SECOND = 3125;
/** Bends are sent only while the cable has at most this much left to carry: the longest wait of a note behind them. */
const LONGEST_WAIT_MS = 1;
/** Marks a channel without a waiting bend. */
const NONE = -1;
/** What can wait: a bend for each channel, then a tuning for each key. */
const SLOTS = 16 + 128;

/**
 * A sink for a slow cable: notes never wait behind bends.
 *
 * Everything but pitch bends and tunings of single keys passes at once. These wait until the cable is free; a later one
 * of the same channel, or key, replaces it, so a glide loses steps but not its end. A note-on is preceded by the
 * waiting bend of its channel and the tuning of its key; no others go before it. Call `flush` after each burst and then
 * every few milliseconds while `isWaiting`.
 *
 * @example
 * const paced = new PacedSink(sink);
 * paced.channel(0xe0, 0, 64);
 * paced.isWaiting  // true: a bend waits
 * paced.flush(0);
 * sink.sent        // ['E0 00 40']
 */
export class PacedSink implements MidiSink {
  readonly #sink: MidiSink;
  readonly #bytesPerMs: number;
  /** The waiting bend of each channel, 0..16383, or {@link NONE}. */
  readonly #waiting = new Int16Array(16).fill(NONE);
  /** The waiting tuning change of each key. */
  readonly #tunings = new Array<Uint8Array | undefined>(128).fill(undefined);
  #count = 0;
  /** Bytes the cable still had to carry at the last flush, and those passed since. */
  #backlogBytes = 0;
  #freshBytes = 0;
  #flushedMs = -Infinity;
  /** Where the next flush begins: channels and keys take turns. */
  #next = 0;
  /** Bends and tunings never sent because a later one replaced them. */
  superseded = 0;

  /** @param bytesPerSecond of the cable; a DIN cable's if it isn't given */
  constructor(sink: MidiSink, bytesPerSecond: number = DIN_BYTES_PER_SECOND) {
    this.#sink = sink;
    this.#bytesPerMs = bytesPerSecond / 1000;
  }

  get isWaiting(): boolean {
    return this.#count > 0;
  }

  channel(status: number, data1: number, data2: number): void {
    const channel = status & 0x0f;
    const type = status & 0xf0;
    if (type === PITCH_BEND) {
      if (this.#waiting[channel] === NONE) this.#count++;
      else this.superseded++;
      this.#waiting[channel] = (data2 << 7) | data1;
      return;
    }
    if (isNoteOn(status, data2)) {
      this.#sendBend(channel);
      this.#sendTuning(data1);
    }
    this.#pass(status, data1, data2);
  }

  /** System messages pass at once, except tunings of a single key. */
  system(bytes: Uint8Array): void {
    const key = toTunedKey(bytes);
    if (key === undefined) {
      this.#passSystem(bytes);
      return;
    }
    const before = this.#tunings[key];
    // A change for another device or tuning program doesn't replace the waiting one.
    if (before !== undefined && !isSamePlace(before, bytes)) this.#sendTuning(key);
    if (this.#tunings[key] === undefined) this.#count++;
    else this.superseded++;
    this.#tunings[key] = bytes;
  }

  /** Sends waiting bends while the cable is free. @param nowMs never decreases */
  flush(nowMs: number): void {
    const carried = (nowMs - this.#flushedMs) * this.#bytesPerMs;
    this.#backlogBytes = Math.max(0, this.#backlogBytes - carried) + this.#freshBytes;
    this.#freshBytes = 0;
    this.#flushedMs = nowMs;
    for (let turn = 0; turn < SLOTS && this.#count > 0; turn++) {
      if (this.#backlogBytes + this.#freshBytes > LONGEST_WAIT_MS * this.#bytesPerMs) return;
      if (this.#next < 16) this.#sendBend(this.#next);
      else this.#sendTuning(this.#next - 16);
      this.#next = (this.#next + 1) % SLOTS;
    }
  }

  /** Sends everything that waits, however long it takes: call it before the port is closed. */
  finish(): void {
    for (let channel = 0; channel < 16; channel++) this.#sendBend(channel);
    for (let key = 0; key < 128; key++) this.#sendTuning(key);
  }

  #sendBend(channel: number): void {
    const bend = this.#waiting[channel];
    if (bend === NONE) return;
    this.#waiting[channel] = NONE;
    this.#count--;
    this.#pass(PITCH_BEND | channel, bend & 0x7f, bend >> 7);
  }

  #sendTuning(key: number): void {
    const bytes = this.#tunings[key];
    if (bytes === undefined) return;
    this.#tunings[key] = undefined;
    this.#count--;
    this.#passSystem(bytes);
  }

  #passSystem(bytes: Uint8Array): void {
    this.#freshBytes += bytes.length;
    this.#sink.system(bytes);
  }

  #pass(status: number, data1: number, data2: number): void {
    this.#freshBytes += (status & 0xe0) === 0xc0 ? 2 : 3;
    this.#sink.channel(status, data1, data2);
  }
}

/**
 * The key a SysEx tunes, if it is a real-time tuning change of a single key: F0 7F dd 08 02 tt 01 kk …
 * @see MIDI Tuning Updated Specification, Single Note Tuning Change (Real-Time)
 */
function toTunedKey(bytes: Uint8Array): number | undefined {
  const isTuning =
    bytes.length === 12 &&
    bytes[0] === SYSEX &&
    bytes[1] === 0x7f &&
    bytes[3] === 0x08 &&
    bytes[4] === 0x02 &&
    bytes[6] === 1;
  return isTuning ? bytes[7] : undefined;
}

/** Whether two tuning changes are for the same device and tuning program. */
function isSamePlace(a: Uint8Array, b: Uint8Array): boolean {
  return a[2] === b[2] && a[5] === b[5];
}
