import {
  BEND_CENTRE,
  CC,
  CONTROL_CHANGE,
  isNoteOn,
  NOTE_OFF,
  NOTE_ON,
  PITCH_BEND,
  TIMING_CLOCK,
  toFourteenBit,
} from '../../core/midi/index.js';
import { RateFuse } from './input-rules.js';
import { toMessageNumber, toSystemNumber } from './message-number.js';
import type { Incoming, SentMemory } from './sent-memory.js';

/** What comes back within so many milliseconds may have gone round. A roll of 30 a second is slower. */
const ROUND_MS = 25;
/** The same for ticks of a clock, which are 8 ms apart at 300 beats a minute. */
const CLOCK_ROUND_MS = 4;
/** For what doesn't count. */
const NEVER_MS = Number.NEGATIVE_INFINITY;
/** So many rounds of one message are a loop. A sequencer's quickest repeats are eight notes: seven rounds. */
const ROUNDS = 12;
/** So many marked echoes within a second are a loop. */
const MARKED = 4;
/** Stand beside the channels for messages that have none. */
const SYSTEM = 16;
const REAL_TIME = 17;
/** A bit for each of those on which something can be late. A clock is the same message again and again: it passes. */
const ALL = (1 << REAL_TIME) - 1;

/**
 * What a message is: something new; something late, which a lamp was sent, or anybody before everything was silenced; or
 * one echo too many.
 */
export type Heard = 'new' | 'late' | 'loop';

/** Whether a channel message, with the time it came in, is that of a lamp. */
export type IsLamp = (nowMs: number, status: number, data1: number, data2: number) => boolean;

/**
 * Tells whether an input hears what the outlets it plays have sent, by the content of what comes in. Two things show it:
 *
 * - a marked echo: within a second a note-on comes back under the very bend that we chose for it, and no wheel stood
 *   there when we did; or a system message comes back that an outlet made, such as a tuning. No hand has a part in
 *   either. Four within a second are a loop.
 * - a round: within 25 ms a note-on, a pedal's lift, a mode message or a system message comes in that is the same as one
 *   just sent. A quick repeat looks like this, but ends. Twelve in a row are a loop, each sent because the one before
 *   came in. Other controllers don't count: a worn knob may send two values in turn for ever.
 *
 * Hot path: allocates nothing.
 *
 * @example
 * const incoming = new Incoming();
 * const sent = new SentMemory(incoming, () => 20);
 * const watch = new EchoWatch([sent], incoming);
 * const goRound = () => {
 *   sent.channel(0x90, 60, 80);
 *   return watch.channel(25, 0x90, 60, 80);
 * };
 * goRound()                                   // 'new'
 * Array.from({ length: 11 }, goRound).at(-1)  // 'loop'
 */
export class EchoWatch {
  readonly #outlets: readonly SentMemory[];
  readonly #incoming: Incoming;
  readonly #marked = new RateFuse(MARKED - 1);
  /** By channel: the bend that was new last. */
  readonly #wheels = new Uint16Array(16).fill(BEND_CENTRE);
  /** What was sent up to then is late on channels, by bit, where nothing new has come in since. */
  #ignoredUntilMs = NEVER_MS;
  #ignoring = 0;
  readonly #isLamp: IsLamp;
  /** Place of the outlet that was heard last. */
  #outlet = 0;

  /**
   * @param outlets  those the input plays
   * @param incoming the one that they were made with
   * @param isLamp   whether a message is that of a lamp, which its controller sends back: it is ignored
   */
  constructor(outlets: readonly SentMemory[], incoming: Incoming, isLamp: IsLamp = () => false) {
    this.#isLamp = isLamp;
    this.#outlets = outlets;
    this.#incoming = incoming;
  }

  /** Place, among the outlets, of the one whose echo came last. */
  get outlet(): number {
    return this.#outlet;
  }

  /** A channel message came in. If it is new, it is being worked off from now on. */
  channel(nowMs: number, status: number, data1: number, data2: number): Heard {
    if (this.#isLamp(nowMs, status, data1, data2)) return 'late';
    const channel = status & 0x0f;
    const type = status & 0xf0;
    const message = toMessageNumber(status, data1, data2);
    if (type === PITCH_BEND) return this.#judgeBend(nowMs, message, channel, toFourteenBit(data1, data2));
    const isNote = type === NOTE_ON || type === NOTE_OFF;
    const isPedal = type === CONTROL_CHANGE && data1 >= CC.sustain && data1 <= CC.hold2;
    const isMode = type === CONTROL_CHANGE && data1 >= CC.allSoundOff;
    const isCounted = isNoteOn(status, data2) || (isPedal && data2 === 0) || isMode;
    const roundMs = isCounted ? ROUND_MS : NEVER_MS;
    return this.#judge(nowMs, message, channel, roundMs, isNote || isPedal || isMode);
  }

  /** A system message came in. */
  system(nowMs: number, bytes: Uint8Array): Heard {
    const channel = bytes[0] < TIMING_CLOCK ? SYSTEM : REAL_TIME;
    const roundMs = bytes[0] === TIMING_CLOCK ? CLOCK_ROUND_MS : ROUND_MS;
    return this.#judge(nowMs, toSystemNumber(bytes), channel, roundMs, true);
  }

  /** What came in has been worked off. */
  end(): void {
    this.#incoming.end();
  }

  /**
   * Call after everything was silenced: counting starts again. Notes, pedals, mode messages and tunings sent before now
   * that still come back are late, and so is a bend that changes nothing. The first other message on a channel ends this
   * for the channel.
   */
  ignoreSent(nowMs: number): void {
    this.#ignoredUntilMs = nowMs;
    this.#ignoring = ALL;
    this.#marked.close();
    this.#incoming.bends.fill(BEND_CENTRE);
  }

  /** A wheel that moves isn't held back: its channel would stay bent. */
  #judgeBend(nowMs: number, message: number, channel: number, bend: number): Heard {
    this.#incoming.bends[channel] = bend;
    const heard = this.#judge(nowMs, message, channel, NEVER_MS, bend === this.#wheels[channel]);
    if (heard === 'new') this.#wheels[channel] = bend;
    return heard;
  }

  /**
   * @param roundMs   within which it may have gone round
   * @param canBeLate whether it doesn't pass where it was sent before everything was silenced
   */
  #judge(nowMs: number, message: number, channel: number, roundMs: number, canBeLate: boolean): Heard {
    let rounds = 0;
    let isMarked = false;
    let isLate = false;
    for (let i = 0; i < this.#outlets.length; i++) {
      const outlet = this.#outlets[i];
      const slot = outlet.find(message, nowMs);
      if (slot < 0) continue;
      const sentMs = outlet.sentMs(slot);
      if (sentMs <= this.#ignoredUntilMs && (channel < SYSTEM || outlet.isOurs(slot))) isLate = true;
      const isRound = nowMs - sentMs <= roundMs;
      const isItsMark = this.#isMarked(outlet, slot, channel, message);
      if (isRound) rounds = Math.max(rounds, outlet.rounds(slot) + 1);
      if (isItsMark) isMarked = true;
      if (isRound || isItsMark) this.#outlet = i;
    }
    const bit = 1 << channel;
    if (isLate && canBeLate && (this.#ignoring & bit) !== 0) return 'late';
    if (!isLate) this.#ignoring &= ~bit;
    this.#incoming.message = message;
    this.#incoming.rounds = rounds;
    this.#incoming.isOurs = isMarked;
    const isTooMuch = isMarked && !this.#marked.take(nowMs);
    return isTooMuch || rounds >= ROUNDS ? 'loop' : 'new';
  }

  #isMarked(outlet: SentMemory, slot: number, channel: number, message: number): boolean {
    if (channel === REAL_TIME) return false;
    if (channel === SYSTEM) return outlet.isOurs(slot);
    const bend = outlet.bend(slot);
    if (bend === BEND_CENTRE || bend !== this.#incoming.bends[channel]) return false;
    return isNoteOn(message >> 14, message & 0x7f);
  }
}
