import { type MidiSink, PITCH_BEND } from '../midi/index.js';

/** Bytes a second on a DIN cable: 31 250 bits, ten to a byte. MIDI 1.0 Detailed Specification, Hardware. */
const DIN_BYTES_PER_SECOND = 3125;
/** Bends go out only while the cable has no more than this left to carry: what a note may have to wait for them. */
const LONGEST_WAIT_MS = 1;
/** Stands for a channel without a waiting bend. */
const NONE = -1;

/**
 * A sink for a slow cable: notes never wait behind bends.
 *
 * Everything but pitch bends passes at once. A bend waits until the cable is free; a later bend of its channel replaces
 * it, so a glide loses steps and not its end. A note-on is preceded by the bend its channel waits for, so that a bend
 * still comes before its note-on; of the bends that belong to no new note none goes before it. Call `flush` after each
 * burst and then every few milliseconds while `isWaiting`.
 *
 * @example
 * const paced = new PacedSink(sink);
 * paced.flush(nowMs);  // as many of the waiting bends as the cable carries at once
 */
export class PacedSink implements MidiSink {
  readonly #sink: MidiSink;
  readonly #bytesPerMs: number;
  /** The bend each channel waits for, 0..16383, or {@link NONE}. */
  readonly #waiting = new Int16Array(16).fill(NONE);
  #count = 0;
  /** Bytes the cable still had to carry at the last flush, and what was passed since. */
  #backlogBytes = 0;
  #freshBytes = 0;
  #flushedMs = -Infinity;
  /** Where the next flush begins: channels take turns. */
  #next = 0;
  /** Bends that were never sent because a later one came first. */
  superseded = 0;

  /** @param bytesPerSecond of the cable; a DIN cable's if it isn't given */
  constructor(sink: MidiSink, bytesPerSecond: number = DIN_BYTES_PER_SECOND) {
    this.#sink = sink;
    this.#bytesPerMs = bytesPerSecond / 1000;
  }

  /** Whether any bend waits. */
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
    if (type === 0x90 && data2 > 0) this.#sendBend(channel);
    this.#pass(status, data1, data2);
  }

  /** SysEx and the rest of the system messages pass at once. */
  system(bytes: Uint8Array): void {
    this.#freshBytes += bytes.length;
    this.#sink.system(bytes);
  }

  /** Sends waiting bends while the cable is free. @param nowMs never decreases */
  flush(nowMs: number): void {
    const carried = (nowMs - this.#flushedMs) * this.#bytesPerMs;
    this.#backlogBytes = Math.max(0, this.#backlogBytes - carried) + this.#freshBytes;
    this.#freshBytes = 0;
    this.#flushedMs = nowMs;
    for (let turn = 0; turn < 16 && this.#count > 0; turn++) {
      if (this.#backlogBytes + this.#freshBytes > LONGEST_WAIT_MS * this.#bytesPerMs) return;
      this.#sendBend(this.#next);
      this.#next = (this.#next + 1) % 16;
    }
  }

  /** Sends every waiting bend, however long it takes: before the port is closed. */
  finish(): void {
    for (let channel = 0; channel < 16; channel++) this.#sendBend(channel);
  }

  #sendBend(channel: number): void {
    const bend = this.#waiting[channel];
    if (bend === NONE) return;
    this.#waiting[channel] = NONE;
    this.#count--;
    this.#pass(PITCH_BEND | channel, bend & 0x7f, bend >> 7);
  }

  #pass(status: number, data1: number, data2: number): void {
    this.#freshBytes += (status & 0xe0) === 0xc0 ? 2 : 3;
    this.#sink.channel(status, data1, data2);
  }
}
