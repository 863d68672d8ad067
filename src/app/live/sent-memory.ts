import { BEND_CENTRE, type MidiSink, PITCH_BEND, toFourteenBit } from '../../core/midi/index.js';
import { toChannelOf, toMessageNumber, toSystemNumber } from './message-number.js';

/** How long what was sent is remembered, in milliseconds. */
const MEMORY_MS = 1000;

/** No message. */
const NONE = -1;
/** A message has its place in one of 1024 sets of four slots. */
const SLOTS = 4096;
const SET_SLOTS = 4;
const SET_BITS = 10;

/**
 * What comes in: the message that is being worked off, since what is sent meanwhile is sent because of it, and where the
 * wheels stand. One serves all inputs of a session.
 */
export class Incoming {
  /** The number of the message; none in between. */
  message = NONE;
  /** How many times in a row it has come back. */
  rounds = 0;
  /** Whether an outlet made the message itself, so that no player sent it. */
  isOurs = false;
  /** By channel: the bend that came in last. */
  readonly bends = new Uint16Array(16).fill(BEND_CENTRE);

  /** The message has been worked off. */
  end(): void {
    this.message = NONE;
    this.rounds = 0;
    this.isOurs = false;
  }
}

/**
 * What an outlet has sent within the last second. A message that is sent again is there once. Where there is no room, the
 * oldest of four is forgotten: with a thousand messages a second, less than one in two hundred.
 *
 * Hot path: allocates nothing.
 *
 * @example
 * const sent = new SentMemory(new Incoming(), () => 20);
 * sent.channel(0x90, 60, 80);
 * sent.sentMs(sent.find(toMessageNumber(0x90, 60, 80), 30))  // 20
 */
export class SentMemory implements MidiSink {
  readonly #incoming: Incoming;
  readonly #now: () => number;
  readonly #messages = new Int32Array(SLOTS).fill(NONE);
  readonly #sentMs = new Float64Array(SLOTS).fill(Number.NEGATIVE_INFINITY);
  readonly #rounds = new Uint8Array(SLOTS);
  readonly #isOurs = new Uint8Array(SLOTS);
  /** Of note-ons: the outlet's own bend on the channel at that time; the centre if there was none. */
  readonly #bends = new Uint16Array(SLOTS).fill(BEND_CENTRE);
  /** By channel: the outlet's own bend there now. */
  readonly #ownBends = new Uint16Array(16).fill(BEND_CENTRE);

  /**
   * @param incoming what comes in
   * @param now      the time in milliseconds, which never goes back
   */
  constructor(incoming: Incoming, now: () => number) {
    this.#incoming = incoming;
    this.#now = now;
  }

  /** A channel message is about to go out. */
  channel(status: number, data1: number, data2: number): void {
    const channel = status & 0x0f;
    if ((status & 0xf0) === PITCH_BEND) {
      const bend = toFourteenBit(data1, data2);
      const { bends, message } = this.#incoming;
      // A finger of an MPE keyboard bends on one channel what goes out on another.
      const isPlayed = bend === bends[channel] || (message !== NONE && bend === bends[toChannelOf(message)]);
      this.#ownBends[channel] = isPlayed ? BEND_CENTRE : bend;
    }
    this.#bends[this.#keep(toMessageNumber(status, data1, data2))] = this.#ownBends[channel];
  }

  /** A system message is about to go out. */
  system(bytes: Uint8Array): void {
    const message = toSystemNumber(bytes);
    const { message: passing, isOurs } = this.#incoming;
    this.#isOurs[this.#keep(message)] = message === passing && !isOurs ? 0 : 1;
  }

  /** The slot of a message, if the same was sent within the last second; -1 if not. */
  find(message: number, nowMs: number): number {
    const slot = this.#toSlot(message);
    return this.#messages[slot] === message && nowMs - this.#sentMs[slot] <= MEMORY_MS ? slot : -1;
  }

  /** When the message in a slot was sent. */
  sentMs(slot: number): number {
    return this.#sentMs[slot];
  }

  /** How many times in a row it had come back before it was sent. */
  rounds(slot: number): number {
    return this.#rounds[slot];
  }

  /** Whether the outlet made it: of system messages. */
  isOurs(slot: number): boolean {
    return this.#isOurs[slot] === 1;
  }

  /** The bend that the outlet chose for it, where no wheel stood then; the centre if it chose none. Of note-ons. */
  bend(slot: number): number {
    return this.#bends[slot];
  }

  #keep(message: number): number {
    const slot = this.#toSlot(message);
    this.#messages[slot] = message;
    this.#sentMs[slot] = this.#now();
    this.#rounds[slot] = this.#incoming.rounds;
    return slot;
  }

  /** The slot a message is in, or else the one it would take. */
  #toSlot(message: number): number {
    const first = (Math.imul(message, 0x9e3779b1) >>> (32 - SET_BITS)) * SET_SLOTS;
    let oldest = first;
    for (let slot = first; slot < first + SET_SLOTS; slot++) {
      if (this.#messages[slot] === message) return slot;
      if (this.#sentMs[slot] < this.#sentMs[oldest]) oldest = slot;
    }
    return oldest;
  }
}
