import { type Line, type RowEvent, toTunerEvents } from '../../core/line/index.js';
import {
  BEND_CENTRE,
  CONTROL_CHANGE,
  HOLDING_PEDALS,
  LiveParser,
  type MidiSink,
  PITCH_BEND,
  toLsb,
  toMsb,
} from '../../core/midi/index.js';
import type { EchoWatch, Heard } from './echo-watch.js';
import { toPart } from './input-parts.js';
import { holdPlayers, InputPedals, isHoldingPedal, type PedalValue } from './input-pedals.js';
import { ActionRules, RateFuse } from './input-rules.js';
import type { Knobs } from './knobs.js';
import type { LiveOutlet } from './live-outlet.js';
import { type ActionRule, type InputConfig, type Role, roleOf } from './live-settings.js';
import type { InputListener } from './session-edges.js';
import { UntunedNotes } from './untuned-notes.js';
import { sendWheelRange } from './wheel-range.js';

/** What an input needs of its session. */
export interface InputSession {
  readonly line: Line;
  /** The time, in milliseconds; never goes back. */
  readonly now: () => number;
  readonly listener: InputListener | undefined;
  readonly passesSystem: () => boolean;
  readonly act: (rule: ActionRule, from: LiveInput) => void;
  readonly knobs: Knobs;
  /** An input has closed. */
  readonly closed: (input: LiveInput, why: Closing) => void;
}

/** Why an input has closed: too many messages came within a second, or it hears what an outlet sends. */
export type Closing = { readonly kind: 'rate' } | { readonly kind: 'loop'; readonly outlet: LiveOutlet };

/** Where the messages of an input go. */
export interface InputRoute {
  /** Every outlet it goes to. */
  readonly all: readonly LiveOutlet[];
  /** The outlets that play its tuned notes; none for a guide, or a partner that can't be tuned. */
  readonly outlets: readonly LiveOutlet[];
  /** The outlets its untuned messages pass to; usually the same. */
  readonly untuned: readonly LiveOutlet[];
  /** The inputs whose tuned notes an outlet plays. */
  readonly playersOf: (outlet: LiveOutlet) => readonly LiveInput[];
  /** Hears whether `outlets` come back in; none for what has no port. */
  readonly watch?: EchoWatch | undefined;
}

/**
 * One input, from its bytes to the line: parsed into messages, counted by the fuse, compared with what was sent, then
 * taken as an action, passed unchanged, or played. Holds all state of the input.
 */
export class LiveInput implements MidiSink {
  readonly config: InputConfig;
  /** Index in the session's inputs: parts are numbered 16 to an input. */
  readonly index: number;
  readonly outlets: readonly LiveOutlet[];
  readonly #allOutlets: readonly LiveOutlet[];
  readonly #untunedOutlets: readonly LiveOutlet[];
  readonly #playersOf: InputRoute['playersOf'];
  readonly #session: InputSession;
  readonly #parser = new LiveParser();
  readonly #fuse: RateFuse;
  readonly #watch: EchoWatch | undefined;
  /** Nothing passes. */
  #isClosed = false;
  readonly #rules: ActionRules;
  /** Channels with messages so far. */
  readonly #heard = new Uint8Array(16);
  readonly #roles: readonly Role[];
  readonly #pedals = new InputPedals();
  /** What is held on untuned channels. */
  readonly #untunedNotes = new UntunedNotes();
  #messages = 0;

  /**
   * @param fuse most messages a second that pass
   */
  constructor(
    config: InputConfig,
    index: number,
    { all, outlets, untuned, playersOf, watch }: InputRoute,
    rules: readonly ActionRule[],
    fuse: number,
    session: InputSession,
  ) {
    this.config = config;
    this.index = index;
    this.outlets = outlets;
    this.#allOutlets = all;
    this.#untunedOutlets = untuned;
    this.#playersOf = playersOf;
    this.#session = session;
    this.#fuse = new RateFuse(fuse);
    this.#watch = watch;
    this.#rules = new ActionRules(rules);
    this.#roles = Array.from({ length: 16 }, (_, channel) => roleOf(config, channel));
  }

  /** Messages that came in, those while it was closed included. */
  get messages(): number {
    return this.#messages;
  }

  /** Bytes and messages that made no sense, or were too long. */
  get strange(): number {
    return Object.values(this.#parser.counters).reduce((sum, its) => sum + its, 0);
  }

  /** Whether it sent too much, or heard an outlet, and nothing of it passes. */
  get isClosed(): boolean {
    return this.#isClosed;
  }

  /**
   * Everything is silent: messages pass again, but for those that were sent before and only now come back.
   * @returns whether it was closed
   */
  reopen(atMs: number): boolean {
    const wasClosed = this.#isClosed;
    this.#isClosed = false;
    this.#fuse.close();
    this.#watch?.ignoreSent(atMs);
    return wasClosed;
  }

  receive(bytes: Uint8Array): void {
    try {
      this.#parser.feed(bytes, this);
    } finally {
      this.#watch?.end();
    }
  }

  channel(status: number, data1: number, data2: number): void {
    const { line, now, listener, act, knobs } = this.#session;
    const atMs = now();
    listener?.channel(atMs, this.config.port, status, data1, data2);
    if (!this.#isPassed(atMs) || !this.#isNew(this.#watch?.channel(atMs, status, data1, data2))) return;
    const { rule, isTaken } = this.#rules.find(this.config.port, status, data1, data2);
    if (rule !== undefined) act(rule, this);
    if (isTaken || knobs.turn(this.config.port, status, data1, data2)) return;
    const channel = status & 0x0f;
    const role = this.#roles[channel];
    if (role === 'untuned' || role === 'fixed') this.#passOn(atMs, status, data1, data2);
    if (role === 'untuned') return;
    const part = toPart(this.index, channel);
    if (role === 'fixed') {
      this.#heard[channel] = 1;
      for (const event of toTunerEvents(atMs, part, status, data1, data2)) line.take(this.#toFixed(event));
      return;
    }
    for (const outlet of this.outlets) outlet.makeReady();
    this.#introduce(channel, atMs);
    if (isHoldingPedal(status, data1)) this.#hold(atMs, channel, { part, controller: data1, value: data2 });
    else line.message(atMs, part, status, data1, data2);
  }

  /** A pedal on an untuned channel, which reaches the receiver of this input: it holds the notes of both. */
  holdBy(atMs: number, pedal: PedalValue): boolean {
    this.#pedals.keep(pedal);
    let isPlayed = false;
    for (let channel = 0; channel < 16; channel++) {
      if (this.#heard[channel] === 0 || (pedal.only ?? channel) !== channel) continue;
      this.#hold(atMs, channel, pedal);
      isPlayed = true;
    }
    return isPlayed;
  }

  #hold(atMs: number, channel: number, pedal: PedalValue): void {
    const [part, status] = [toPart(this.index, channel), CONTROL_CHANGE | channel];
    this.#session.line.message(atMs, part, status, pedal.controller, this.#pedals.set(channel, pedal));
  }

  /** A message of an untuned channel goes out as it came; a pedal, where the outlet has tuned notes, for these too. */
  #passOn(atMs: number, status: number, data1: number, data2: number): void {
    this.#untunedNotes.track(status, data1, data2);
    const pedal = { part: toPart(this.index, status & 0x0f), controller: data1, value: data2 };
    const isPedal = isHoldingPedal(status, data1);
    for (const outlet of this.#untunedOutlets)
      if (!isPedal || !holdPlayers(outlet, this.#playersOf(outlet), atMs, pedal))
        outlet.pass(status, data1, data2);
  }

  /** A note of a partner that can't be tuned, with the pitch its instrument gives it. */
  #toFixed(event: RowEvent): RowEvent {
    if (event.kind !== 'note-on') return event;
    return { ...event, fixedCents: 100 * event.key + this.config.fixedCents[event.key % 12] };
  }

  system(bytes: Uint8Array): void {
    const { now, listener, passesSystem } = this.#session;
    const atMs = now();
    listener?.system(atMs, this.config.port, bytes);
    if (!this.#isPassed(atMs) || !passesSystem() || !this.#isNew(this.#watch?.system(atMs, bytes))) return;
    for (const outlet of this.#allOutlets) outlet.system(bytes, atMs);
  }

  /** The input is gone, perhaps with keys and pedals down: ends everything it holds. */
  release(atMs: number): void {
    const { line } = this.#session;
    this.#parser.reset();
    this.#untunedNotes.release((status, data1, data2) => this.#passOn(atMs, status, data1, data2));
    for (let channel = 0; channel < 16; channel++) {
      if (this.#heard[channel] === 0) continue;
      const part = toPart(this.index, channel);
      for (const controller of HOLDING_PEDALS) {
        this.#pedals.set(channel, { part, controller, value: 0 });
        // Whoever else holds it down: what has ended must not ring on.
        line.message(atMs, part, CONTROL_CHANGE | channel, controller, 0);
      }
      line.silence(atMs, part);
      line.message(atMs, part, PITCH_BEND | channel, toLsb(BEND_CENTRE), toMsb(BEND_CENTRE));
    }
  }

  /** Counts a message. @returns whether the fuse lets it pass */
  #isPassed(atMs: number): boolean {
    this.#messages++;
    if (this.#isClosed) return false;
    if (this.#fuse.take(atMs)) return true;
    this.#close({ kind: 'rate' });
    return false;
  }

  /** Whether a message is new: no echo, which goes no further. */
  #isNew(heard: Heard = 'new'): boolean {
    if (heard === 'loop') this.#close({ kind: 'loop', outlet: this.#allOutlets[this.#watch?.outlet ?? 0] });
    return heard === 'new';
  }

  #close(why: Closing): void {
    this.#isClosed = true;
    this.#watch?.end();
    this.#session.closed(this, why);
  }

  /** Before a channel's first message, sends the outlets the range of its wheel. */
  #introduce(channel: number, atMs: number): void {
    if (this.#heard[channel] === 1) return;
    this.#heard[channel] = 1;
    for (const pedal of this.#pedals.downOn(channel)) this.#hold(atMs, channel, pedal);
    sendWheelRange(this.outlets, atMs, toPart(this.index, channel), this.config.bendRange);
  }
}
