import { CONTROL_CHANGE, LiveParser, type MidiSink } from '../../core/midi/index.js';
import type { EchoWatch, Heard } from './echo-watch.js';
import { ActionRules, RateFuse } from './input-rules.js';
import type { InputSplit } from './input-split.js';
import type { InputZones } from './input-zones.js';
import type { Knobs } from './knobs.js';
import type { LiveOutlet } from './live-outlet.js';
import type { ActionRule, InputConfig } from './live-settings.js';
import type { InputListener } from './session-edges.js';
import { toRangeMessages } from './wheel-range.js';

/** What an input needs of its session. */
export interface InputSession {
  /** The time, in milliseconds; never goes back. */
  readonly now: () => number;
  readonly listener: InputListener | undefined;
  readonly passesSystem: () => boolean;
  readonly act: (rule: ActionRule, from: LiveInput) => void;
  readonly knobs: Knobs;
  /** An input's MPE zones have changed. */
  readonly zoned: (input: LiveInput) => void;
  /** An input has closed. */
  readonly closed: (input: LiveInput, why: Closing) => void;
}

/** Why an input has closed: too many messages came within a second, or it hears what an outlet sends. */
export type Closing = { readonly kind: 'rate' } | { readonly kind: 'loop'; readonly outlet: LiveOutlet };

/** Where the messages of an input go. */
export interface InputRoute {
  readonly splits: readonly InputSplit[];
  readonly zones: InputZones;
  /** Every outlet it goes to, one for each cable. */
  readonly all: readonly LiveOutlet[];
  /** Hears whether those come back in; none for what has no port. */
  readonly watch?: EchoWatch | undefined;
}

/**
 * One input: its bytes are parsed into messages, counted by the fuse, compared with what was sent, then taken as an
 * action, or played by its splits.
 */
export class LiveInput implements MidiSink {
  readonly config: InputConfig;
  readonly zones: InputZones;
  readonly splits: readonly InputSplit[];
  readonly #allOutlets: readonly LiveOutlet[];
  readonly #session: InputSession;
  readonly #parser = new LiveParser();
  readonly #fuse: RateFuse;
  readonly #watch: EchoWatch | undefined;
  /** Nothing passes. */
  #isClosed = false;
  readonly #rules: ActionRules;
  #messages = 0;
  /** The managers of zones whose fingers' bend range the splits know. */
  readonly #told = new Set<number>();

  /**
   * @param fuse most messages a second that pass
   */
  constructor(
    config: InputConfig,
    { splits, zones, all, watch }: InputRoute,
    rules: readonly ActionRule[],
    fuse: number,
    session: InputSession,
  ) {
    this.config = config;
    this.splits = splits;
    this.zones = zones;
    this.#allOutlets = all;
    this.#watch = watch;
    this.#rules = new ActionRules(rules);
    this.#fuse = new RateFuse(fuse);
    this.#session = session;
  }

  /** The outlets that play its tuned notes. */
  get outlets(): readonly LiveOutlet[] {
    return [...new Set(this.splits.flatMap(({ outlets }) => outlets))];
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
    const { now, listener, act, knobs } = this.#session;
    const atMs = now();
    listener?.channel(atMs, this.config.port, status, data1, data2);
    if (!this.#isPassed(atMs) || !this.#isNew(this.#watch?.channel(atMs, status, data1, data2))) return;
    const { rule, isTaken } = this.#rules.find(this.config.port, status, data1, data2);
    if (rule !== undefined) act(rule, this);
    if (isTaken || knobs.turn(this.config.port, status, data1, data2)) return;
    const left = this.zones.take(status, data1, data2);
    if (left !== undefined) {
      for (const split of this.splits) for (const place of left) split.leave(atMs, place);
      if (left.length > 0) this.#session.zoned(this);
    }
    const channel = status & 0x0f;
    const [manager, finger] = [this.zones.managerOf(channel), this.zones.fingerOf(channel)];
    if (finger > 0 && !this.#told.has(manager)) this.#tellRange(atMs, manager, finger);
    for (const split of this.splits) split.channel(atMs, status, data1, data2, manager, finger);
    if (left !== undefined) for (const split of this.splits) split.sendRange(atMs, manager);
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
    this.#parser.reset();
    for (const split of this.splits) split.release(atMs);
  }

  /** Another piece will be played here: ends everything the input holds, and forgets its MPE zones. */
  end(atMs: number): void {
    this.release(atMs);
    this.zones.reset();
  }

  /** Everything was silenced, and every pedal lifted. */
  forgetPedals(): void {
    for (const split of this.splits) split.forgetPedals();
  }

  /** Before a zone is first played here: other settings make other outlets, and the keyboard has told its range before. */
  #tellRange(atMs: number, manager: number, finger: number): void {
    this.#told.add(manager);
    const range = this.zones.rangeOf(manager);
    if (range === undefined) return;
    for (const [controller, value] of toRangeMessages(range.semitones, range.cents))
      for (const split of this.splits)
        split.channel(atMs, CONTROL_CHANGE | manager, controller, value, manager, finger);
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
}
