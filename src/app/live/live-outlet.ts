import { isNoteOn, type MidiSink, PITCH_BEND } from '../../core/midi/index.js';
import type { RoutingListener } from '../../core/monitor/index.js';
import { type Outlet, PacedSink } from '../../core/outlet/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import type { OutputLink } from '../../io/ports/index.js';
import { claims, createOutlet } from '../outlet-choice.js';
import { isSystemReset } from '../system-reset.js';
import { type OutletConfig, toBendRange } from './live-settings.js';
import { UntunedNotes } from './untuned-notes.js';

/**
 * An outlet and its port, which may come and go. The outlet works on without it, so that decisions stay in order, and
 * sends everything again to a port that returns.
 */
export class LiveOutlet {
  readonly config: OutletConfig;
  readonly outlet: Outlet;
  readonly sink = new LinkSink();
  readonly #paced: PacedSink | undefined;
  /** What is held on untuned channels: the outlet knows nothing of it. */
  readonly #untuned = new UntunedNotes();
  #isReady = true;

  /**
   * @param channelOf as of `createOutlet`
   * @param routing   receives channels and bends of sent notes
   */
  constructor(config: OutletConfig, channelOf: (part: number) => number, routing?: RoutingListener) {
    this.config = config;
    this.#paced = config.wire === 'din' ? new PacedSink(this.sink) : undefined;
    const end = this.#paced ?? this.sink;
    const choice = { ...config, bendRange: toBendRange(config) };
    this.outlet = createOutlet(choice, routing === undefined ? end : new RoutingTap(end, routing), channelOf);
  }

  /** The port is there: silences what an earlier run may have left, then sets the receiver up. */
  connect(link: OutputLink): void {
    this.sink.link = link;
    this.sink.clear();
    const send = (status: number, data1: number, data2: number) => this.sink.channel(status, data1, data2);
    this.#untuned.release(send);
    this.#untuned.silence(send);
    this.outlet.silenceAndOpen();
    this.#paced?.finish();
    this.#isReady = true;
  }

  /** An earlier run may have passed notes on this channel, 0..15: `connect` silences it, if the outlet doesn't anyway. */
  mayPass(channel: number): void {
    if (this.config.kind !== 'mts' && !claims(this.config, channel)) this.#untuned.mayUse(channel);
  }

  /** The port is gone; what sounded there is cleared. */
  disconnect(atMs: number): void {
    this.sink.link = undefined;
    this.sink.clear();
    this.drain(atMs);
  }

  /** Sets the receiver up again if a passed message has reset it. Call it before anything is played. */
  makeReady(): void {
    if (this.#isReady) return;
    this.#isReady = true;
    this.outlet.open();
  }

  pass(status: number, data1: number, data2: number): void {
    this.#untuned.track(status, data1, data2);
    (this.#paced ?? this.sink).channel(status, data1, data2);
  }

  system(bytes: Uint8Array, atMs: number): void {
    this.outlet.system(bytes);
    if (!isSystemReset(bytes)) return;
    this.drain(atMs);
    this.outlet.forget();
    this.#isReady = false;
  }

  drain(atMs: number): void {
    this.outlet.drain(atMs);
    this.#untuned.release((status, data1, data2) => this.sink.channel(status, data1, data2));
    this.#paced?.finish();
  }

  /** Sends what waits, as far as the cable carries it. */
  flush(nowMs: number): void {
    this.#paced?.flush(nowMs);
  }

  get isWaiting(): boolean {
    return this.#paced?.isWaiting ?? false;
  }

  /** Messages replaced by later ones before a slow cable could carry them. */
  get supersededMessages(): number {
    return this.#paced?.superseded ?? 0;
  }
}

/** Passes everything an outlet sends, and reports channels and bends. Hot path: allocates nothing. */
export class RoutingTap implements MidiSink {
  readonly #sink: MidiSink;
  readonly #listener: RoutingListener;

  constructor(sink: MidiSink, listener: RoutingListener) {
    this.#sink = sink;
    this.#listener = listener;
  }

  channel(status: number, data1: number, data2: number): void {
    this.#sink.channel(status, data1, data2);
    if (isNoteOn(status, data2)) this.#listener.noteSent(status & 0x0f);
    else if ((status & 0xf0) === PITCH_BEND) this.#listener.bendSent(status & 0x0f, (data2 << 7) | data1);
  }

  system(bytes: Uint8Array): void {
    this.#sink.system(bytes);
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
