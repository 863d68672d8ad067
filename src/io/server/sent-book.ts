import type { KeptShadow, Sent } from './kept-feed.js';

/** Where the bends of sixteen channels stand before anything was sent. */
const CENTRED = new Uint16Array(16).fill(8192);

/**
 * How the sounding notes were struck, and how the first outlet carries them: on which channel, with which bend. Notes go
 * by their number in the tuner of the sounding strategy.
 *
 * @example
 * book.strike(90);
 * book.begin(7);          // the tuner has begun note 7
 * book.carry(2);          // and the outlet sent it on channel 2
 * book.bend(2, 7631);
 * book.of(7)              // { velocity: 90, channel: 2, bend: 7631 }
 */
export class SentBook {
  readonly #sent: Map<number, Sent>;
  readonly #bends: Uint16Array;
  #velocity = 1;
  #begun: Sent | undefined;

  /** @param kept what an earlier one held */
  constructor(kept?: Pick<KeptShadow, 'sent' | 'bends'>) {
    this.#sent = new Map([...(kept?.sent ?? [])].map(([id, sent]) => [id, { ...sent }]));
    this.#bends = Uint16Array.from(kept?.bends ?? CENTRED);
  }

  /** A message is about to be told; a key goes down with this velocity, if one does. */
  strike(velocity: number | undefined): void {
    if (velocity !== undefined) this.#velocity = velocity;
    this.#begun = undefined;
  }

  /** A note has begun. */
  begin(id: number): void {
    this.#begun = { velocity: this.#velocity, channel: null };
    this.#sent.set(id, this.#begun);
  }

  /** The note that began last was sent on a channel. */
  carry(channel: number): void {
    if (this.#begun !== undefined) this.#begun.channel = channel;
  }

  /** The bend of a channel moved. */
  bend(channel: number, value: number): void {
    this.#bends[channel] = value;
  }

  /** A note has ended. */
  end(id: number): void {
    this.#sent.delete(id);
  }

  /** Every note has ended. */
  clear(): void {
    this.#sent.clear();
  }

  /** How a note was struck and is carried now; `undefined` if nothing is known of it. */
  of(id: number): { velocity: number; channel: number | null; bend: number | null } | undefined {
    const sent = this.#sent.get(id);
    if (sent === undefined) return undefined;
    return { ...sent, bend: sent.channel === null ? null : this.#bends[sent.channel] };
  }

  /** All of it as data. */
  keep(): Pick<KeptShadow, 'sent' | 'bends'> {
    return { sent: this.#sent, bends: this.#bends };
  }
}
