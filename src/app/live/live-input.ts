import type { Line } from '../../core/line/index.js';
import {
  BEND_CENTRE,
  CC,
  CONTROL_CHANGE,
  HOLDING_PEDALS,
  LiveParser,
  type MidiSink,
  PITCH_BEND,
  toLsb,
  toMsb,
} from '../../core/midi/index.js';
import type { EchoWatch, Heard } from './echo-watch.js';
import { ActionRules, RateFuse } from './input-rules.js';
import type { LiveOutlet } from './live-outlet.js';
import type { ActionRule, InputConfig } from './live-settings.js';
import { UntunedNotes } from './untuned-notes.js';

/** Called with every whole message of an input, before it is handled. It must be short, and copy bytes. */
export interface InputListener {
  channel(atMs: number, port: string, status: number, data1: number, data2: number): void;
  system(atMs: number, port: string, bytes: Uint8Array): void;
}

/** What an input needs of its session. */
export interface InputSession {
  readonly line: Line;
  /** The time, in milliseconds; never goes back. */
  readonly now: () => number;
  readonly listener: InputListener | undefined;
  readonly passesSystem: () => boolean;
  readonly act: (rule: ActionRule) => void;
  /** An input has closed. */
  readonly closed: (input: LiveInput, why: Closing) => void;
}

/** Why an input has closed: too many messages came within a second, or it hears what an outlet sends. */
export type Closing = { readonly kind: 'rate' } | { readonly kind: 'loop'; readonly outlet: LiveOutlet };

/** Where the messages of an input go. */
export interface InputRoute {
  readonly outlets: readonly LiveOutlet[];
  /** The outlets of untuned channels; usually the same. */
  readonly untuned: readonly LiveOutlet[];
  /** Hears whether `outlets` come back in; none for what has no port. */
  readonly watch?: EchoWatch | undefined;
}

/** Default bend range of a wheel, in semitones. MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity */
const USUAL_BEND_RANGE = 2;

/** RPN 0 as a player's keyboard would send it, and then no parameter. */
function toBendRangeMessages(semitones: number): readonly (readonly [controller: number, value: number])[] {
  return [
    [CC.rpnMsb, 0],
    [CC.rpnLsb, 0],
    [CC.dataEntry, semitones],
    [CC.dataEntryLsb, 0],
    [CC.rpnMsb, 127],
    [CC.rpnLsb, 127],
  ];
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
  readonly #untunedOutlets: readonly LiveOutlet[];
  readonly #session: InputSession;
  readonly #parser = new LiveParser();
  readonly #fuse: RateFuse;
  readonly #watch: EchoWatch | undefined;
  /** Nothing passes. */
  #isClosed = false;
  readonly #rules: ActionRules;
  /** Channels with messages so far, and whether each is tuned. */
  readonly #heard = new Uint8Array(16);
  readonly #tuned = new Uint8Array(16);
  /** What is held on untuned channels. */
  readonly #untunedNotes = new UntunedNotes();
  #messages = 0;

  /**
   * @param fuse most messages a second that pass
   */
  constructor(
    config: InputConfig,
    index: number,
    { outlets, untuned, watch }: InputRoute,
    rules: readonly ActionRule[],
    fuse: number,
    session: InputSession,
  ) {
    this.config = config;
    this.index = index;
    this.outlets = outlets;
    this.#untunedOutlets = untuned;
    this.#session = session;
    this.#fuse = new RateFuse(fuse);
    this.#watch = watch;
    this.#rules = new ActionRules(rules);
    for (let channel = 0; channel < 16; channel++) {
      this.#tuned[channel] = config.channels === undefined || config.channels.includes(channel) ? 1 : 0;
    }
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
    this.#watch?.hush(atMs);
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
    const { line, now, listener, act } = this.#session;
    const atMs = now();
    listener?.channel(atMs, this.config.port, status, data1, data2);
    if (!this.#isPassed(atMs) || !this.#isNew(this.#watch?.channel(atMs, status, data1, data2))) return;
    const { rule, isTaken } = this.#rules.find(this.config.port, status, data1, data2);
    if (rule !== undefined) act(rule);
    if (isTaken) return;
    const channel = status & 0x0f;
    if (this.#tuned[channel] === 0) {
      this.#untunedNotes.track(status, data1, data2);
      for (const outlet of this.#untunedOutlets) outlet.pass(status, data1, data2);
      return;
    }
    for (const outlet of this.outlets) outlet.makeReady();
    this.#introduce(channel, atMs);
    line.message(atMs, this.toPart(channel), status, data1, data2);
  }

  system(bytes: Uint8Array): void {
    const { now, listener, passesSystem } = this.#session;
    const atMs = now();
    listener?.system(atMs, this.config.port, bytes);
    if (!this.#isPassed(atMs) || !passesSystem() || !this.#isNew(this.#watch?.system(atMs, bytes))) return;
    for (const outlet of this.outlets) outlet.system(bytes, atMs);
  }

  /** The input is gone, perhaps with keys and pedals down: ends everything it holds. */
  release(atMs: number): void {
    const { line } = this.#session;
    this.#parser.reset();
    this.#untunedNotes.release((status, data1, data2) => {
      for (const outlet of this.#untunedOutlets) outlet.pass(status, data1, data2);
    });
    for (let channel = 0; channel < 16; channel++) {
      if (this.#heard[channel] === 0) continue;
      const part = this.toPart(channel);
      for (const pedal of HOLDING_PEDALS) line.message(atMs, part, CONTROL_CHANGE | channel, pedal, 0);
      line.silence(atMs, part);
      line.message(atMs, part, PITCH_BEND | channel, toLsb(BEND_CENTRE), toMsb(BEND_CENTRE));
    }
  }

  /** The part of one of its channels: 16 an input. */
  toPart(channel: number): number {
    return 16 * this.index + channel;
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
    if (heard === 'loop') this.#close({ kind: 'loop', outlet: this.outlets[this.#watch?.outlet ?? 0] });
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
    const { bendRange } = this.config;
    if (bendRange === USUAL_BEND_RANGE) return;
    const part = this.toPart(channel);
    for (const { outlet } of this.outlets) {
      for (const [controller, value] of toBendRangeMessages(bendRange)) {
        outlet.control(atMs, part, CONTROL_CHANGE | channel, controller, value);
      }
    }
  }
}

/** The input channel of a part. */
export function toChannel(part: number): number {
  return part & 0x0f;
}

/** The index of a part's input in the session's inputs. */
export function toInputIndex(part: number): number {
  return part >> 4;
}
