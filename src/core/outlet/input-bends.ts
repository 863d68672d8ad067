import { toCarriedBend } from './bend.js';

/**
 * What the players' wheels add to their notes, by part: as much as asked for, or as much as the bend range carries
 * beside the tuning.
 *
 * Where the range is too small for both, the wheel gives way and the tuning is kept. All notes of a part get the same,
 * so that a chord stays in tune while it is bent. What one note can't carry is taken from the others too, until the
 * wheel moves again or nothing of the part sounds. Hot path: allocates nothing once a part is known.
 *
 * @example
 * const bends = new InputBends(2);
 * bends.set(0, 200);
 * bends.makeRoom(0, 13.3)  // true: less is carried now
 * bends.carried(0)         // 186.676
 */
export class InputBends {
  readonly #rangeSemitones: number;
  readonly #wanted: number[] = [];
  readonly #carried: number[] = [];

  /** @param rangeSemitones bend range of the channels, above 0 */
  constructor(rangeSemitones: number) {
    this.#rangeSemitones = rangeSemitones;
  }

  /** What the wheel asks for, in cents; 0 for a part not heard before. */
  wanted(part: number): number {
    return this.#wanted[part] ?? 0;
  }

  /** What is added to each note of the part, in cents. */
  carried(part: number): number {
    return this.#carried[part] ?? 0;
  }

  /** Whether the part's notes get less than the wheel asks for. */
  isShort(part: number): boolean {
    return this.carried(part) !== this.wanted(part);
  }

  /** The wheel moved: all of it is carried, until a note leaves no room for it. */
  set(part: number, cents: number): void {
    this.#wanted[part] = cents;
    this.#carried[part] = cents;
  }

  /** Nothing of the part sounds: all that the wheel asks for can be carried again. */
  restore(part: number): void {
    this.#carried[part] = this.wanted(part);
  }

  /**
   * Lets the wheel give way to a note's tuning.
   *
   * @param offsetCents the note's tuned pitch, off the key it is sent on, in cents
   * @returns whether less is carried now, so that the part's other notes have to move
   */
  makeRoom(part: number, offsetCents: number): boolean {
    const before = this.carried(part);
    const carried = toCarriedBend(before, offsetCents, this.#rangeSemitones);
    if (carried === before) return false;
    this.#carried[part] = carried;
    return true;
  }

  /** Resets all wheels. */
  clear(): void {
    this.#wanted.length = 0;
    this.#carried.length = 0;
  }
}
