/**
 * A clock that never goes back: should the one beneath do so, time stands still until that has caught up.
 *
 * @example
 * const time = new ForwardTime(() => readings.shift());  // 5, 3, 6
 * [time.now(), time.now(), time.now()]  // [5, 5, 6]
 */
export class ForwardTime {
  readonly #read: () => number;
  /** What was read last, in milliseconds; 0 before anything was. */
  latestMs = 0;

  /** @param read milliseconds, with fractions, from any start */
  constructor(read: () => number) {
    this.#read = read;
  }

  /** The time, in milliseconds. Hot path. */
  now(): number {
    const now = this.#read();
    if (now > this.latestMs) this.latestMs = now;
    return this.latestMs;
  }
}
