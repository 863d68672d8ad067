import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn, type MidiSink } from '../midi/index.js';
import { isSamePlace, toTunedKey } from './tuning-word.js';
import { WaitingChannel } from './waiting-channel.js';

/** Bytes a second on a DIN cable: 31 250 bits, ten to a byte. MIDI 1.0 Detailed Specification, Hardware. */
const DIN_BYTES_PER_SECOND = 3125;
/** What waits goes out only while the cable has no more than this left to carry: what a note may have to wait for it. */
const LONGEST_WAIT_MS = 1;

/**
 * A sink for a slow cable: notes never wait behind what moves.
 *
 * Notes, pedals, programs and parameters pass at once. Bends, pressure, controllers and the tuning of single keys wait
 * until the cable is free. A later value replaces one that waits, so a movement loses steps and not its end. A note-on is
 * preceded by what its channel and its key wait for; of what belongs to other notes none goes before it. When the cable
 * is free, bends and other values take turns; channels whose keys are down come first.
 *
 * Call `flush` after each burst and then every few milliseconds while `isWaiting`.
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
  readonly #channels = Array.from({ length: 16 }, (_, channel) => new WaitingChannel(channel));
  /** Passes on what waited, and counts its bytes. */
  readonly #wire: MidiSink = {
    channel: (status, data1, data2) => this.#pass(status, data1, data2),
    system: (bytes) => this.#passSystem(bytes),
  };
  /** The tuning change each key waits for. */
  readonly #tunings = new Map<number, Uint8Array>();
  /** Bytes the cable still had to carry at the last flush, and what was passed since. */
  #backlogBytes = 0;
  #freshBytes = 0;
  #flushedMs = -Infinity;
  /** The channel whose turn is next, and whether the next turn is for bends. */
  #next = 0;
  #bendsFirst = true;
  #supersededTunings = 0;

  /** @param bytesPerSecond of the cable; a DIN cable's if it isn't given */
  constructor(sink: MidiSink, bytesPerSecond: number = DIN_BYTES_PER_SECOND) {
    this.#sink = sink;
    this.#bytesPerMs = bytesPerSecond / 1000;
  }

  /** Whether anything waits. */
  get isWaiting(): boolean {
    return this.#tunings.size > 0 || this.#channels.some((channel) => channel.isWaiting);
  }

  /** Messages that were never sent because a later one came first. */
  get superseded(): number {
    return this.#channels.reduce((sum, channel) => sum + channel.superseded, this.#supersededTunings);
  }

  channel(status: number, data1: number, data2: number): void {
    const channel = this.#channels[status & 0x0f];
    if (channel.take(status, data1, data2)) return;
    if (isNoteOn(status, data2)) {
      channel.keysDown++;
      channel.sendAll(this.#wire);
      this.#sendTuning(data1);
    } else if (isNoteOff(status, data2)) {
      channel.keysDown = Math.max(0, channel.keysDown - 1);
    } else if ((status & 0xf0) === CONTROL_CHANGE && data1 >= CC.allSoundOff) {
      channel.keysDown = 0;
    }
    this.#pass(status, data1, data2);
  }

  /** System messages pass at once, but for the tuning of a single key. */
  system(bytes: Uint8Array): void {
    const key = toTunedKey(bytes);
    if (key === undefined) {
      this.#passSystem(bytes);
      return;
    }
    const before = this.#tunings.get(key);
    // A change for another device or tuning program takes nothing back of the one that waits.
    if (before !== undefined && !isSamePlace(before, bytes)) this.#sendTuning(key);
    else if (before !== undefined) this.#supersededTunings++;
    this.#tunings.set(key, bytes);
  }

  /** Sends what waits while the cable is free. @param nowMs never decreases */
  flush(nowMs: number): void {
    const carried = (nowMs - this.#flushedMs) * this.#bytesPerMs;
    this.#backlogBytes = Math.max(0, this.#backlogBytes - carried) + this.#freshBytes;
    this.#freshBytes = 0;
    this.#flushedMs = nowMs;
    const most = LONGEST_WAIT_MS * this.#bytesPerMs;
    while (this.#backlogBytes + this.#freshBytes <= most && this.#sendNext());
  }

  /** Sends everything that waits, however long it takes: before the port is closed. */
  finish(): void {
    for (const channel of this.#channels) channel.sendAll(this.#wire);
    for (const key of [...this.#tunings.keys()]) this.#sendTuning(key);
  }

  /** Sends one thing that waits. @returns whether anything did */
  #sendNext(): boolean {
    const bendsFirst = this.#bendsFirst;
    this.#bendsFirst = !bendsFirst;
    return bendsFirst
      ? this.#sendOneBend() || this.#sendOneValue()
      : this.#sendOneValue() || this.#sendOneBend();
  }

  /** A bend, or else the tuning of a key that has waited longest. */
  #sendOneBend(): boolean {
    const channel = this.#find((one) => one.isBendWaiting);
    channel?.sendBend(this.#wire);
    if (channel !== undefined) return true;
    for (const key of this.#tunings.keys()) {
      this.#sendTuning(key);
      return true;
    }
    return false;
  }

  #sendOneValue(): boolean {
    const channel =
      this.#find((one) => one.keysDown > 0 && one.isValueWaiting) ?? this.#find((one) => one.isValueWaiting);
    channel?.sendValue(this.#wire);
    return channel !== undefined;
  }

  /** The next channel in turn of which something holds. */
  #find(holds: (channel: WaitingChannel) => boolean): WaitingChannel | undefined {
    for (let turn = 0; turn < 16; turn++) {
      const index = (this.#next + turn) & 0x0f;
      if (!holds(this.#channels[index])) continue;
      this.#next = (index + 1) & 0x0f;
      return this.#channels[index];
    }
    return undefined;
  }

  #sendTuning(key: number): void {
    const bytes = this.#tunings.get(key);
    if (bytes === undefined) return;
    this.#tunings.delete(key);
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
