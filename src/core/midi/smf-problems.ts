import type { Problem } from '../outcome.js';

/** A byte as people write them. @example toHex(7)  // '07' */
export function toHex(byte: number): string {
  return byte.toString(16).toUpperCase().padStart(2, '0');
}

/** Something says it is longer than what is left of the file. @param what it is, as `a track chunk` */
export function truncated(offset: number, expected: number, found: number, what: string): Problem {
  return {
    code: 'SMF_TRUNCATED',
    message: `Expected ${what} of ${expected} bytes at byte ${offset}, but only ${found} are left.`,
    advice: 'The file was cut short or a length in it is wrong. Copy or export it again.',
    offset,
  };
}

/** Says what is slightly wrong at a byte offset; `detail` is a number of its own choosing, such as a count. */
type Describe = (offset: number, detail: number) => Problem;

/**
 * Gathers what is slightly wrong in a file that can be read all the same: one problem a kind, where it first
 * occurred, with the number of further places. So a hostile file can't make more warnings than there are kinds, and
 * a sentence is only built once, however many events need it.
 *
 * @example warnings.add(missingEnd, 35); warnings.toProblems()  // [{ code: 'SMF_NO_END_OF_TRACK', …, offset: 35 }]
 */
export class Warnings {
  readonly #found = new Map<Describe, { first: Problem; more: number }>();

  add(describe: Describe, offset: number, detail = 0): void {
    const known = this.#found.get(describe);
    if (known) known.more++;
    else this.#found.set(describe, { first: describe(offset, detail), more: 0 });
  }

  /** The warnings in the order they were first found. */
  toProblems(): Problem[] {
    return [...this.#found.values()].map(({ first, more }) =>
      more === 0 ? first : { ...first, message: `${first.message} (And ${more} more like it.)` },
    );
  }
}
