/** Where the header's two counters stand, in 32-bit words: bytes written and bytes read since the beginning, modulo 2³². */
const WRITTEN = 0;
const READ = 1;
const HEADER_BYTES = 8;
/** In front of every piece: its kind in one byte, its length in three, the highest first. */
const FRAME_BYTES = 4;

/** The longest piece, in bytes. */
export const LONGEST_PIECE = 0xff_ffff;

/**
 * A ring of bytes that one thread writes and another reads: pieces come out whole, as they went in and in their order.
 * Writing takes no lock and no memory; a piece there is no room for is refused.
 *
 * Both ends are made from the same shared memory.
 *
 * @example
 * const memory = createRingMemory(16);
 * new ByteRing(memory).write(3, Uint8Array.of(0x90, 60, 64));  // true: there was room
 * new ByteRing(memory).read((kind, bytes) => …);               // 3, [0x90, 60, 64]
 */
export class ByteRing {
  readonly #counters: Int32Array;
  readonly #data: Uint8Array;

  /** @param memory of `createRingMemory` */
  constructor(memory: SharedArrayBuffer) {
    this.#counters = new Int32Array(memory, 0, HEADER_BYTES / 4);
    this.#data = new Uint8Array(memory, HEADER_BYTES);
  }

  /**
   * Appends a piece.
   * @param kind 0..255
   * @returns false, and nothing of it is written, if there is no room
   */
  write(kind: number, bytes: Uint8Array): boolean {
    const data = this.#data;
    const { length } = bytes;
    const from = this.#counters[WRITTEN];
    const taken = (from - Atomics.load(this.#counters, READ)) >>> 0;
    if (length > LONGEST_PIECE || taken + FRAME_BYTES + length > data.length) return false;
    const mask = data.length - 1;
    data[from & mask] = kind;
    data[(from + 1) & mask] = length >>> 16;
    data[(from + 2) & mask] = length >>> 8;
    data[(from + 3) & mask] = length;
    const start = from + FRAME_BYTES;
    for (let i = 0; i < length; i++) data[(start + i) & mask] = bytes[i];
    Atomics.store(this.#counters, WRITTEN, (start + length) | 0);
    return true;
  }

  /** Takes out everything that has been written by now. @returns how many pieces that was */
  read(take: (kind: number, bytes: Uint8Array) => void): number {
    const data = this.#data;
    const mask = data.length - 1;
    const until = Atomics.load(this.#counters, WRITTEN);
    let at = this.#counters[READ];
    let pieces = 0;
    while (at !== until) {
      const kind = data[at & mask];
      const length = (data[(at + 1) & mask] << 16) | (data[(at + 2) & mask] << 8) | data[(at + 3) & mask];
      const start = at + FRAME_BYTES;
      const bytes = new Uint8Array(length);
      for (let i = 0; i < length; i++) bytes[i] = data[(start + i) & mask];
      at = (start + length) | 0;
      Atomics.store(this.#counters, READ, at);
      take(kind, bytes);
      pieces++;
    }
    return pieces;
  }
}

/** Memory of a ring, for both threads. @param log2Bytes it has room for 2 to the power of this, 3..30 */
export function createRingMemory(log2Bytes: number): SharedArrayBuffer {
  return new SharedArrayBuffer(HEADER_BYTES + 2 ** log2Bytes);
}
