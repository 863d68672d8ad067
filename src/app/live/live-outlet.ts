import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn, NOTE_OFF } from '../../core/midi/index.js';
import { type Outlet, PacedSink } from '../../core/outlet/index.js';
import type { OutputLink } from '../../io/ports/index.js';
import { createOutlet } from '../outlet-choice.js';
import { isSystemReset } from '../system-reset.js';
import { type CarriageEar, CarriageTap } from './carriage-tap.js';
import { LinkSink } from './link-sink.js';
import type { OutletWish } from './live-settings.js';

/** Release velocity of a note-off nobody played. */
const NO_RELEASE_VELOCITY = 64;

/**
 * An outlet and the port it plays, which may come and go: the outlet works on all the same, so that what has been
 * decided stays in order, and says everything anew to a port that is there again.
 */
export class LiveOutlet {
  readonly wish: OutletWish;
  readonly outlet: Outlet;
  readonly sink = new LinkSink();
  readonly #paced: PacedSink | undefined;
  /** Notes of untuned channels that are down, by channel and key: they go by no outlet's book. */
  readonly #passed = new Uint8Array(16 * 128);
  #isReady = true;

  /**
   * @param channelOf as of `createOutlet`
   * @param carriage  told how the notes are carried
   */
  constructor(wish: OutletWish, channelOf: (part: number) => number, carriage?: CarriageEar) {
    this.wish = wish;
    this.#paced = wish.wire === 'din' ? new PacedSink(this.sink) : undefined;
    const end = this.#paced ?? this.sink;
    this.outlet = createOutlet(
      wish,
      carriage === undefined ? end : new CarriageTap(end, carriage),
      channelOf,
    );
  }

  /** The port is there: sets the receiver up, and silences what an earlier run may have left. */
  connect(link: OutputLink, atMs: number): void {
    this.sink.link = link;
    this.sink.clear();
    this.outlet.open();
    this.drain(atMs);
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
    const slot = ((status & 0x0f) << 7) | data1;
    if (isNoteOn(status, data2)) this.#passed[slot] = 1;
    else if (isNoteOff(status, data2)) this.#passed[slot] = 0;
    (this.#paced ?? this.sink).channel(status, data1, data2);
  }

  /** A system message. */
  system(bytes: Uint8Array, atMs: number): void {
    this.outlet.system(bytes);
    if (!isSystemReset(bytes)) return;
    this.drain(atMs);
    this.#isReady = false;
  }

  /** Silence, whatever the state. */
  drain(atMs: number): void {
    this.outlet.drain(atMs);
    for (let slot = 0; slot < this.#passed.length; slot++) {
      if (this.#passed[slot] === 0) continue;
      this.#passed[slot] = 0;
      const channel = slot >> 7;
      this.sink.channel(NOTE_OFF | channel, slot & 0x7f, NO_RELEASE_VELOCITY);
      this.sink.channel(CONTROL_CHANGE | channel, CC.sustain, 0);
    }
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
