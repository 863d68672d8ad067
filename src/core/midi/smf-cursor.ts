import type { Problem } from '../outcome.js';

/** What {@link Cursor} methods return when they can't read; the reason is in `problem`. */
export const UNREADABLE = -1;

const MOST_LENGTH_BYTES = 4;

/**
 * Reads forward through a stretch of bytes, and never beyond it. The first failure is stored in `problem` (the parser
 * checks it once an event instead of wrapping every byte in an outcome); after that the cursor is spent. Allocates only
 * what really is in the stretch, never what a length field claims.
 */
export class Cursor {
  readonly bytes: Uint8Array;
  /** Offset of the next byte, from the start of `bytes`. */
  offset: number;
  /** One past the last readable byte. */
  readonly end: number;
  /** The name of the stretch in messages: `the track chunk`. */
  readonly name: string;
  problem: Problem | undefined = undefined;

  constructor(bytes: Uint8Array, offset: number, end: number, name: string) {
    this.bytes = bytes;
    this.offset = offset;
    this.end = end;
    this.name = name;
  }

  get left(): number {
    return this.end - this.offset;
  }

  /** The next byte, or UNREADABLE at the end. */
  byte(what: string): number {
    if (this.offset < this.end) return this.bytes[this.offset++];
    return this.#truncated(what, 1);
  }

  /** The next byte if it is a data byte, 0..127; else UNREADABLE. */
  dataByte(what: string): number {
    if (this.offset < this.end && this.bytes[this.offset] < 0x80) return this.bytes[this.offset++];
    if (this.offset >= this.end) return this.#truncated(what, 1);
    return this.refuse({
      code: 'SMF_DATA_BYTE',
      message: `Expected ${what}, 00 to 7F, at byte ${this.offset}, but found the status byte ${toHex(this.bytes[this.offset])}.`,
      advice: 'The track is damaged here. Export the file again from the program that made it.',
      offset: this.offset,
    });
  }

  /** An unsigned 16-bit number, high byte first. The caller has checked that two bytes are left. */
  uint16(): number {
    const at = this.offset;
    this.offset += 2;
    return (this.bytes[at] << 8) | this.bytes[at + 1];
  }

  /** An unsigned 32-bit number, high byte first. The caller has checked that four bytes are left. */
  uint32(): number {
    return this.uint16() * 0x10000 + this.uint16();
  }

  /**
   * A variable-length quantity, 0..0x0FFFFFFF, seven bits a byte, high ones first: the bytes 81 00 are 128. UNREADABLE past
   * four bytes.
   *
   * @see Standard MIDI Files 1.0, Conventions: variable-length quantities
   */
  variableLength(what: string): number {
    const start = this.offset;
    let value = 0;
    while (this.offset < this.end) {
      const byte = this.bytes[this.offset++];
      value = (value << 7) | (byte & 0x7f);
      if (byte < 0x80) return value;
      if (this.offset - start === MOST_LENGTH_BYTES) return this.#tooLong(what, start);
    }
    return this.#truncated(what, 1);
  }

  /** The next `length` bytes, as a view, or undefined if fewer are left. */
  take(length: number, what: string): Uint8Array | undefined {
    if (length > this.left) {
      this.#truncated(what, length);
      return undefined;
    }
    const taken = this.bytes.subarray(this.offset, this.offset + length);
    this.offset += length;
    return taken;
  }

  refuse(problem: Problem): typeof UNREADABLE {
    this.problem = problem;
    return UNREADABLE;
  }

  #truncated(what: string, length: number): typeof UNREADABLE {
    const expected = length === 1 ? what : `${what} (${length} bytes)`;
    return this.refuse({
      code: 'SMF_TRUNCATED',
      message: `Expected ${expected} at byte ${this.offset}, but ${this.name} ends at byte ${this.end}.`,
      advice: 'The file was cut short or a length in it is wrong. Copy or export it again.',
      offset: this.offset,
    });
  }

  #tooLong(what: string, start: number): typeof UNREADABLE {
    const padded = this.bytes[start] === 0x80 ? ' (it is padded with leading 80 bytes)' : '';
    return this.refuse({
      code: 'SMF_VARIABLE_LENGTH',
      message: `Expected ${what} at byte ${start}, a variable-length number of at most four bytes, but it goes on after the fourth${padded}.`,
      advice: 'The track is damaged here, or its writer did not keep to the standard. Export the file again.',
      offset: start,
    });
  }
}

/** A byte as people write them. @example toHex(7)  // '07' */
export function toHex(byte: number): string {
  return byte.toString(16).toUpperCase().padStart(2, '0');
}

/** Something claims to be longer than the rest of the file. @param what it is, as `a track chunk` */
export function truncated(offset: number, expected: number, found: number, what: string): Problem {
  return {
    code: 'SMF_TRUNCATED',
    message: `Expected ${what} of ${expected} bytes at byte ${offset}, but only ${found} are left.`,
    advice: 'The file was cut short or a length in it is wrong. Copy or export it again.',
    offset,
  };
}

/** Describes a slight error at a byte offset; `detail` is a number of its kind, such as a count. */
type Describe = (offset: number, detail: number) => Problem;

/**
 * Gathers the slight errors of a readable file: one problem a kind, at its first place, with the number of further
 * places. So a hostile file can't make more warnings than there are kinds, and each sentence is built once.
 *
 * @example
 * const warnings = new Warnings();
 * warnings.add((offset) => truncated(offset, 8, 3, 'a track chunk'), 35);
 * warnings.toProblems()  // [{ code: 'SMF_TRUNCATED', offset: 35, … }]
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
