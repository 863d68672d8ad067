/** Bends of sixteen channels before anything was sent. */
const CENTRED = new Uint16Array(16).fill(8192);

/** Channel 0..15 and bend 0..16383 of a note at an outlet; null if unknown. */
export interface NoteChannel {
  readonly channel: number | null;
  readonly bend: number | null;
}

/** Notified of how an outlet sends notes. On the note path, so it must be short. */
export interface RoutingListener {
  /** A note-on for the note that the line starts right now. */
  noteSent(channel: number): void;
  /** @param bend 0..16383 */
  bendSent(channel: number, bend: number): void;
}

/** A routing as plain data. */
export interface RoutingSnapshot {
  readonly channels: ReadonlyMap<number, number | null>;
  readonly bends: Uint16Array;
}

/**
 * The channel of each sounding note at the first outlet, and the bends of the channels. Notes have their ids in the
 * tuner of the sounding strategy. Channels are 0..15, bends 0..16383.
 *
 * @example
 * const routing = new NoteRouting();
 * routing.begin(7);           // the tuner has begun note 7
 * routing.noteSent(2);        // and the outlet sent it on channel 2
 * routing.bendSent(2, 7631);
 * routing.of(7)               // { channel: 2, bend: 7631 }
 */
export class NoteRouting implements RoutingListener {
  readonly #channels: Map<number, number | null>;
  readonly #bends: Uint16Array;
  #begun: number | undefined;

  /** @param snapshot of an earlier one */
  constructor(snapshot?: RoutingSnapshot) {
    this.#channels = new Map(snapshot?.channels);
    this.#bends = Uint16Array.from(snapshot?.bends ?? CENTRED);
  }

  /** Ends the event: what is sent from now on isn't for the note that started last. */
  endEvent(): void {
    this.#begun = undefined;
  }

  /** A note has started. */
  begin(id: number): void {
    this.#begun = id;
    this.#channels.set(id, null);
  }

  noteSent(channel: number): void {
    if (this.#begun !== undefined) this.#channels.set(this.#begun, channel);
  }

  bendSent(channel: number, bend: number): void {
    this.#bends[channel] = bend;
  }

  /** A note has ended. */
  end(id: number): void {
    this.#channels.delete(id);
  }

  /** Every note has ended. */
  clear(): void {
    this.#channels.clear();
    this.endEvent();
  }

  of(id: number): NoteChannel {
    const channel = this.#channels.get(id) ?? null;
    return { channel, bend: channel === null ? null : this.#bends[channel] };
  }

  toSnapshot(): RoutingSnapshot {
    return { channels: this.#channels, bends: this.#bends };
  }
}
