import type { MidiSink } from '../../core/midi/index.js';
import { GatheringSink, PacedSink } from '../../core/outlet/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import type { OutputLink } from '../../io/ports/index.js';
import type { OutletConfig } from './live-settings.js';
import { UntunedNotes } from './untuned-notes.js';

/** What a cable needs of an outlet on it. */
export interface CableOutlet {
  /** Silences the receiver, whatever sounds there, and sets it up. */
  silenceAndOpen(): void;
  drain(atMs: number): void;
  /** A passed message has reset the receiver: what sounded there has ended. */
  reset(atMs: number): void;
  /** Whether it bends notes of many parts on this channel, 0..15, so that nothing else may use it. */
  bends(channel: number): boolean;
  /** Whether it sends anything on this channel. */
  uses(channel: number): boolean;
}

/**
 * The connection to a port, which may come and go. Outlets on one port share it, and use different channels.
 *
 * @example
 * new Cable('din').isWaiting  // false: nothing was sent
 */
export class Cable {
  readonly sink = new LinkSink();
  readonly #paced: PacedSink | undefined;
  readonly #gathering: GatheringSink | undefined;
  readonly outlets: CableOutlet[] = [];
  /** What is held on untuned channels: the outlets know nothing of it. */
  readonly #untuned = new UntunedNotes();

  /**
   * @param waitMs how long a chord gathers before it sounds
   * @param now    the time in milliseconds, which never goes back
   */
  constructor(wire: OutletConfig['wire'], waitMs = 0, now: () => number = () => 0) {
    this.#paced = wire === 'din' ? new PacedSink(this.sink) : undefined;
    if (waitMs > 0) this.#gathering = new GatheringSink(this.#paced ?? this.sink, waitMs, now);
  }

  /** What is sent enters here. */
  get end(): MidiSink {
    return this.#gathering ?? this.#paced ?? this.sink;
  }

  /** What was sent waits: for the rest of a chord, or for a slow cable. */
  get isWaiting(): boolean {
    return this.#gathering?.isWaiting === true || this.#paced?.isWaiting === true;
  }

  /** Messages replaced by later ones before a slow cable could carry them. */
  get supersededMessages(): number {
    return this.#paced?.superseded ?? 0;
  }

  /** Sends what has waited long enough, as far as the cable carries it. */
  flush(nowMs: number): void {
    this.#gathering?.flush(nowMs);
    this.#paced?.flush(nowMs);
  }

  #finish(): void {
    this.#gathering?.finish();
    this.#paced?.finish();
  }

  /** The port is there: silences what an earlier run may have left, then sets the receiver up. */
  connect(link: OutputLink): void {
    this.sink.link = link;
    this.sink.clear();
    const send = (status: number, data1: number, data2: number) => this.sink.channel(status, data1, data2);
    this.#untuned.release(send);
    this.#untuned.silence(send);
    for (const outlet of this.outlets) outlet.silenceAndOpen();
    this.#finish();
  }

  /** The port is gone; what sounded there is cleared. */
  disconnect(atMs: number): void {
    this.sink.link = undefined;
    this.sink.clear();
    for (const outlet of this.outlets) outlet.drain(atMs);
  }

  /** Whether an outlet bends notes of many parts on this channel, 0..15. */
  bends(channel: number): boolean {
    return this.outlets.some((outlet) => outlet.bends(channel));
  }

  /** An earlier run may have passed notes on this channel, 0..15: `connect` silences it, if no outlet does anyway. */
  mayPass(channel: number): void {
    if (!this.outlets.some((outlet) => outlet.uses(channel))) this.#untuned.mayUse(channel);
  }

  /** Sends a message of an untuned channel as it came. */
  pass(status: number, data1: number, data2: number): void {
    this.#untuned.track(status, data1, data2);
    this.end.channel(status, data1, data2);
  }

  /** A passed message has reset the receiver. */
  reset(atMs: number): void {
    for (const outlet of this.outlets) outlet.reset(atMs);
  }

  /** Releases what is held on untuned channels, and sends all that waits. */
  release(): void {
    this.#finish();
    this.#untuned.release((status, data1, data2) => this.sink.channel(status, data1, data2));
  }
}

/** Called with every sent message, just after; for takes. The bytes are reused: copy them. */
export type OnSent = (bytes: Uint8Array) => void;

/**
 * The end of the note path: messages to the link of a port, if there is one.
 *
 * Never throws. When the link refuses a message, the error is stored and everything after it is dropped until `clear`:
 * the receiver's state is in doubt then, and the owner drains it after the running message. A message that no port can
 * carry, such as a SysEx beyond the limit, is only counted: nothing of it was sent. Hot path: allocates nothing.
 */
export class LinkSink implements MidiSink {
  link: OutputLink | undefined;
  /** Told every message just before it goes out: a loop may bring it back in before it is out. */
  memory: MidiSink | undefined;
  onSent: OnSent | undefined;
  /** Why the link refused a message; `undefined` if it didn't. */
  error: LeewayError | undefined;
  sentMessages = 0;
  sentBytes = 0;
  /** Messages while the port was missing. */
  unheardMessages = 0;
  /** Messages the link refused, and those not tried after that. */
  refusedMessages = 0;
  readonly #two = new Uint8Array(2);
  readonly #three = new Uint8Array(3);

  channel(status: number, data1: number, data2: number): void {
    const bytes = (status & 0xe0) === 0xc0 ? this.#two : this.#three;
    bytes[0] = status;
    bytes[1] = data1;
    if (bytes === this.#three) bytes[2] = data2;
    this.memory?.channel(status, data1, data2);
    this.#send(bytes);
  }

  system(bytes: Uint8Array): void {
    this.memory?.system(bytes);
    this.#send(bytes);
  }

  clear(): void {
    this.error = undefined;
  }

  #send(bytes: Uint8Array): void {
    const { link } = this;
    if (link === undefined) {
      this.unheardMessages++;
      return;
    }
    if (this.error !== undefined) {
      this.refusedMessages++;
      return;
    }
    try {
      link.send(bytes);
    } catch (error) {
      this.refusedMessages++;
      if (error instanceof LeewayError && error.code === 'PORT_MESSAGE') return;
      this.error = toRefusal(error);
      return;
    }
    this.sentMessages++;
    this.sentBytes += bytes.length;
    this.onSent?.(bytes);
  }
}

/** What a link threw, as an error with advice. @example toRefusal(new Error('gone')).code  // 'PORT_SEND' */
export function toRefusal(cause: unknown): LeewayError {
  if (cause instanceof LeewayError) return cause;
  const message = 'The MIDI port refused a message.';
  return new LeewayError(
    { code: 'PORT_SEND', message, advice: 'It is opened again as soon as it takes messages.' },
    { cause },
  );
}
