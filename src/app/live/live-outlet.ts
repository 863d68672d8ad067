import type { RoutingListener } from '../../core/monitor/index.js';
import { type Outlet, PacedSink } from '../../core/outlet/index.js';
import type { OutputLink } from '../../io/ports/index.js';
import { createOutlet } from '../outlet-choice.js';
import { isSystemReset } from '../system-reset.js';
import { LinkSink } from './link-sink.js';
import type { OutletConfig } from './live-settings.js';
import { RoutingTap } from './routing-tap.js';
import { UntunedNotes } from './untuned-notes.js';

/**
 * An outlet and the port it plays, which may come and go: the outlet works on all the same, so that what has been
 * decided stays in order, and says everything anew to a port that is there again.
 */
export class LiveOutlet {
  readonly config: OutletConfig;
  readonly outlet: Outlet;
  readonly sink = new LinkSink();
  readonly #paced: PacedSink | undefined;
  /** What is held down on channels that aren't tuned: the outlet knows nothing of it. */
  readonly #untuned = new UntunedNotes();
  #isReady = true;

  /**
   * @param channelOf as of `createOutlet`
   * @param routing   told on which channels notes go out, and with which bends
   */
  constructor(config: OutletConfig, channelOf: (part: number) => number, routing?: RoutingListener) {
    this.config = config;
    this.#paced = config.wire === 'din' ? new PacedSink(this.sink) : undefined;
    const end = this.#paced ?? this.sink;
    this.outlet = createOutlet(config, routing === undefined ? end : new RoutingTap(end, routing), channelOf);
  }

  /** The port is there: sets the receiver up, and silences what an earlier run may have left. */
  connect(link: OutputLink, atMs: number): void {
    this.sink.link = link;
    this.sink.clear();
    this.outlet.open();
    this.drain(atMs);
    this.#untuned.silence((status, data1, data2) => this.sink.channel(status, data1, data2));
    this.#isReady = true;
  }

  /** The port is gone; what sounded there is forgotten. */
  disconnect(atMs: number): void {
    this.sink.link = undefined;
    this.sink.clear();
    this.drain(atMs);
  }

  /** Sets the receiver up again if a message that passed has reset it. To be called before anything is played. */
  makeReady(): void {
    if (this.#isReady) return;
    this.#isReady = true;
    this.outlet.open();
  }

  /** A message of a channel that isn't tuned, as it came. */
  pass(status: number, data1: number, data2: number): void {
    this.#untuned.track(status, data1, data2);
    (this.#paced ?? this.sink).channel(status, data1, data2);
  }

  /** A system message. */
  system(bytes: Uint8Array, atMs: number): void {
    this.outlet.system(bytes);
    if (!isSystemReset(bytes)) return;
    this.drain(atMs);
    this.outlet.forget();
    this.#isReady = false;
  }

  /** Silence, whatever the state. */
  drain(atMs: number): void {
    this.outlet.drain(atMs);
    this.#untuned.release((status, data1, data2) => this.sink.channel(status, data1, data2));
    this.#paced?.finish();
  }

  /** What of it waits goes out as far as the cable carries it. */
  flush(nowMs: number): void {
    this.#paced?.flush(nowMs);
  }

  /** Whether something waits for the cable. */
  get isWaiting(): boolean {
    return this.#paced?.isWaiting ?? false;
  }

  /** Bends a slow cable never had to carry, because a later one came first. */
  get supersededBends(): number {
    return this.#paced?.superseded ?? 0;
  }
}
