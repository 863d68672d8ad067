/** The largest number that {@link ByteWriter.variableLength} can write: four bytes of seven bits. */
export const LARGEST_VARIABLE_LENGTH = 0x0fffffff;

/**
 * Bytes written one after another, in a buffer that doubles when it is full.
 * @example
 * const out = new ByteWriter();
 * out.uint16(96);
 * out.toBytes()  // 00 60
 */
export class ByteWriter {
  #buffer: Uint8Array = new Uint8Array(4096);
  length = 0;

  byte(value: number): void {
    if (this.length === this.#buffer.length) this.#grow(1);
    this.#buffer[this.length++] = value;
  }

  bytes(values: Uint8Array): void {
    if (this.length + values.length > this.#buffer.length) this.#grow(values.length);
    this.#buffer.set(values, this.length);
    this.length += values.length;
  }

  uint16(value: number): void {
    this.byte(value >> 8);
    this.byte(value & 0xff);
  }

  uint32(value: number): void {
    this.uint16(value >>> 16);
    this.uint16(value & 0xffff);
  }

  setUint32(at: number, value: number): void {
    for (let i = 0; i < 4; i++) this.#buffer[at + i] = (value >>> (24 - 8 * i)) & 0xff;
  }

  /**
   * Seven bits a byte, high ones first, all but the last with the high bit set.
   *
   * @param value 0..{@link LARGEST_VARIABLE_LENGTH}
   * @see Standard MIDI Files 1.0, Conventions: variable-length quantities
   */
  variableLength(value: number): void {
    if (value > 0x1fffff) this.byte((value >> 21) | 0x80);
    if (value > 0x3fff) this.byte(((value >> 14) & 0x7f) | 0x80);
    if (value > 0x7f) this.byte(((value >> 7) & 0x7f) | 0x80);
    this.byte(value & 0x7f);
  }

  /** What was written between two offsets. A view, until more is written. */
  view(from: number, to: number): Uint8Array {
    return this.#buffer.subarray(from, to);
  }

  toBytes(): Uint8Array {
    return this.#buffer.slice(0, this.length);
  }

  #grow(more: number): void {
    const longer = new Uint8Array(Math.max(2 * this.#buffer.length, this.length + more));
    longer.set(this.#buffer.subarray(0, this.length));
    this.#buffer = longer;
  }
}
