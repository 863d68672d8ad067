/**
 * Repeatable random numbers, and the small choices a generator makes of them.
 *
 * The numbers are those of mulberry32 (Tommy Ettinger, public domain; constants from memory): 32 bits of state, which is
 * plenty for one case.
 *
 * @example new Random(1).below(6)  // the same each time
 */
export class Random {
  #state: number;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** 0 to 2^32 − 1. */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(this.#state ^ (this.#state >>> 15), this.#state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return (mixed ^ (mixed >>> 14)) >>> 0;
  }

  /** A whole number from 0, less than `end`; 0 where there is none. */
  below(end: number): number {
    return end <= 0 ? 0 : Math.floor((this.next() / 2 ** 32) * end);
  }

  /** True once in so many times. */
  oneIn(times: number): boolean {
    return this.below(times) === 0;
  }

  /** One of them; the list isn't empty. */
  pick<T>(list: readonly T[]): T {
    return list[this.below(list.length)];
  }

  /** Small numbers far more often than large ones: 0 half the time, up to `most`. */
  few(most: number): number {
    let number = 0;
    while (number < most && this.oneIn(2)) number++;
    return number;
  }

  bytes(length: number, below = 256): number[] {
    return Array.from({ length }, () => this.below(below));
  }
}

/** One seed out of several things: FNV-1a, 32 bits. @see http://www.isthe.com/chongo/tech/comp/fnv/ (constants from memory) */
export function toSeed(...parts: readonly (string | number)[]): number {
  let hash = 0x811c9dc5;
  for (const character of parts.join('\n')) {
    hash = Math.imul(hash ^ (character.codePointAt(0) ?? 0), 0x01000193);
  }
  return hash >>> 0;
}
