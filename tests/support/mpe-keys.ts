import fc from 'fast-check';
import type { FakeKeys } from './fake-devices.js';

/** What a keyboard of MPE does, message by message. Fingers are its member channels, 1..15 from the manager. */
export class MpeKeys {
  readonly #feed: (...bytes: number[]) => void;
  readonly #manager: number;

  constructor(keys: Pick<FakeKeys, 'feed'> | ((...bytes: number[]) => void), manager: 0 | 15 = 0) {
    this.#feed = typeof keys === 'function' ? keys : (...bytes) => keys.feed(...bytes);
    this.#manager = manager;
  }

  /** The MPE Configuration Message, without what closes it. @see MPE 1.1: RPN 6 on channel 1 or 16 */
  configure(members: number): void {
    for (const [controller, value] of [
      [101, 0],
      [100, 6],
      [6, members],
    ])
      this.control(controller, value);
  }

  /** RPN 0 of a finger, in semitones. */
  range(finger: number, semitones: number): void {
    for (const [controller, value] of [
      [101, 0],
      [100, 0],
      [6, semitones],
      [38, 0],
      [101, 127],
      [100, 127],
    ])
      this.#feed(0xb0 | this.#toChannel(finger), controller, value);
  }

  on(finger: number, key: number, velocity = 80): void {
    this.#feed(0x90 | this.#toChannel(finger), key, velocity);
  }

  off(finger: number, key: number, velocity = 64): void {
    this.#feed(0x80 | this.#toChannel(finger), key, velocity);
  }

  /** @param bend 0..16383 */
  bend(finger: number, bend: number): void {
    this.#feed(0xe0 | this.#toChannel(finger), bend & 127, bend >> 7);
  }

  press(finger: number, pressure: number): void {
    this.#feed(0xd0 | this.#toChannel(finger), pressure);
  }

  slide(finger: number, timbre: number): void {
    this.#feed(0xb0 | this.#toChannel(finger), 74, timbre);
  }

  /** A controller of the whole zone. */
  control(controller: number, value: number): void {
    this.#feed(0xb0 | this.#manager, controller, value);
  }

  #toChannel(finger: number): number {
    return Math.abs(this.#manager - finger);
  }
}

/** Something the player does; what a move needs of it counts. */
export interface Move {
  readonly what:
    | 'on'
    | 'off'
    | 'bend'
    | 'press'
    | 'slide'
    | 'wheel'
    | 'pedal'
    | 'configure'
    | 'range'
    | 'wait';
  readonly finger: number;
  readonly key: number;
  readonly value: number;
}

/** Fingers of one hand: some have two notes, and some keys two fingers. */
export const FINGERS = 8;
/** A random move. */
export const move: fc.Arbitrary<Move> = fc.record({
  what: fc.oneof(
    { weight: 6, arbitrary: fc.constantFrom('on' as const, 'on' as const, 'off' as const) },
    { weight: 5, arbitrary: fc.constantFrom('bend' as const, 'press' as const, 'slide' as const) },
    { weight: 2, arbitrary: fc.constantFrom('wheel' as const, 'pedal' as const, 'wait' as const) },
    { weight: 1, arbitrary: fc.constantFrom('configure' as const, 'range' as const) },
  ),
  finger: fc.integer({ min: 1, max: FINGERS }),
  key: fc.integer({ min: 55, max: 66 }),
  value: fc.nat(127),
});
