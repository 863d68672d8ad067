import { isNoteOn, type MidiSink, PITCH_BEND } from '../../core/midi/index.js';
import type { RoutingListener } from '../../core/monitor/index.js';
import type { Outlet } from '../../core/outlet/index.js';
import { claims, createOutlet } from '../outlet-choice.js';
import { isSystemReset } from '../system-reset.js';
import { Cable, type CableOutlet, type LinkSink } from './cable.js';
import { type OutletConfig, toBendRange } from './live-settings.js';

/**
 * An outlet on its cable. The outlet works on without its port, so that decisions stay in order, and sends everything
 * again to a port that returns.
 */
export class LiveOutlet implements CableOutlet {
  readonly config: OutletConfig;
  readonly outlet: Outlet;
  readonly cable: Cable;
  #isReady = true;

  /**
   * @param channelOf as of `createOutlet`
   * @param cable     the connection to its port; by default a new one
   * @param routing   receives channels and bends of sent notes
   */
  constructor(
    config: OutletConfig,
    channelOf: (part: number) => number,
    cable = new Cable(config.wire),
    routing?: RoutingListener,
  ) {
    this.config = config;
    this.cable = cable;
    cable.outlets.push(this);
    const { end } = cable;
    const choice = { ...config, bendRange: toBendRange(config) };
    this.outlet = createOutlet(choice, routing === undefined ? end : new RoutingTap(end, routing), channelOf);
  }

  get sink(): LinkSink {
    return this.cable.sink;
  }

  bends(channel: number): boolean {
    return claims(this.config, channel);
  }

  uses(channel: number): boolean {
    return this.config.kind === 'mts' || this.bends(channel);
  }

  silenceAndOpen(): void {
    this.outlet.silenceAndOpen();
    this.#isReady = true;
  }

  /** Sets the receiver up again if a passed message has reset it. Call it before anything is played. */
  makeReady(): void {
    if (this.#isReady) return;
    this.#isReady = true;
    this.outlet.open();
  }

  /** A system message goes to the port, once for all its outlets; one that resets the receiver ends what sounds. */
  system(bytes: Uint8Array, atMs: number): void {
    this.outlet.system(bytes);
    if (isSystemReset(bytes)) this.cable.reset(atMs);
  }

  reset(atMs: number): void {
    this.drain(atMs);
    this.outlet.forget();
    this.#isReady = false;
  }

  drain(atMs: number): void {
    this.outlet.drain(atMs);
    this.cable.release();
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
