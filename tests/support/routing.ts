import { RoutingTap } from '../../src/app/live/live-outlet.js';
import { createOutlet, DEFAULT_BEND_RANGE } from '../../src/app/outlet-choice.js';
import { type NoteChannel, NoteRouting } from '../../src/core/monitor/index.js';
import type { SoundingNote, TunerOut } from '../../src/core/tuner/index.js';

/** How hard everything is struck. */
const VELOCITY = 80;

/**
 * A real MPE outlet that plays to nobody: what a tuner decides goes through it, so that one knows the channel and the bend
 * each note has.
 */
export class RoutedOutlet implements TunerOut {
  readonly #routing = new NoteRouting();
  readonly #outlet = createOutlet(
    { kind: 'mpe', bendRange: DEFAULT_BEND_RANGE.mpe },
    new RoutingTap({ channel: () => {}, system: () => {} }, this.#routing),
    (part) => part & 0x0f,
  );

  constructor() {
    this.#outlet.open();
  }

  /** How a note is sent now. */
  of(id: number): NoteChannel {
    return this.#routing.of(id);
  }

  start(atMs: number, { id, part, key }: Readonly<SoundingNote>, cents: number): void {
    this.#routing.endEvent();
    this.#routing.begin(id);
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
    this.#routing.end(id);
  }

  enter(): void {}
}
