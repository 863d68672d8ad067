import { CarriageTap } from '../../src/app/live/carriage-tap.js';
import { createOutlet, STOCK_BEND_RANGE } from '../../src/app/outlet-choice.js';
import type { Carriage as CarriageFact } from '../../src/core/feed/describe-note.js';
import type { SoundingNote, TunerOut } from '../../src/core/tuner/index.js';
import { SentBook } from '../../src/io/server/sent-book.js';

/** How hard everything is struck. */
const VELOCITY = 80;

/**
 * A real MPE outlet that plays to nobody: what a tuner decides goes through it, so that one knows the channel and the bend
 * each note has.
 */
export class Carriage implements TunerOut {
  readonly #book = new SentBook();
  readonly #outlet = createOutlet(
    { kind: 'mpe', bendRange: STOCK_BEND_RANGE.mpe },
    new CarriageTap(
      { channel: () => {}, system: () => {} },
      {
        sentOn: (channel) => this.#book.carry(channel),
        sentBend: (channel, bend) => this.#book.bend(channel, bend),
      },
    ),
    (part) => part & 0x0f,
  );

  constructor() {
    this.#outlet.open();
  }

  /** How a note is carried now. */
  of(id: number): CarriageFact {
    return this.#book.of(id) ?? { velocity: VELOCITY, channel: null, bend: null };
  }

  start(atMs: number, { id, part, key }: Readonly<SoundingNote>, cents: number): void {
    this.#book.strike(VELOCITY);
    this.#book.begin(id);
    this.#outlet.start(atMs, id, part, key, VELOCITY, cents);
  }

  retune(atMs: number, { id }: Readonly<SoundingNote>, cents: number): void {
    this.#outlet.retune(atMs, id, cents);
  }

  release(atMs: number, { id }: Readonly<SoundingNote>): void {
    this.#outlet.release(atMs, id, VELOCITY);
  }

  end(atMs: number, { id }: Readonly<SoundingNote>): void {
    this.#outlet.end(atMs, id);
    this.#book.end(id);
  }

  enter(): void {}
}
