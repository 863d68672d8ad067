/** Sample formats: integers of 16 or 24 bits, or floating point of 32. */
export type SampleFormat = '16' | '24' | 'float';

/** Bytes of a sample. @example toSampleBytes('24')  // 3 */
export function toSampleBytes(format: SampleFormat): number {
  return { '16': 2, '24': 3, float: 4 }[format];
}

/** Fixed seed of the dither, so that the same music gives the same bytes. */
const DEFAULT_SEED = 0x1ee;

/**
 * Turns sound into the bytes of a WAV file: both sides in turn, little end first.
 *
 * At 16 bits triangular dither is added before rounding, twice the standard one-step width: the sum of two uniform
 * random numbers of one step each. It makes the rounding error independent of the music. At 24 bits the noise of any
 * converter is louder than the rounding.
 *
 * Full scale is -1 to 1. Larger values are clamped and counted in `clipped`; `float` stores them unclamped, and counts
 * them too.
 *
 * @see S. Lipshitz, R. Wannamaker, J. Vanderkooy, Quantization and Dither: A Theoretical Survey, J. AES 40(5), 1992
 * @example
 * const silence = new Float64Array(4096);
 * new SampleWriter('16').format(silence, silence, 4096).length  // 16384: two channels of two bytes
 */
export class SampleWriter {
  readonly #format: SampleFormat;
  #seed: number;
  /** Samples beyond full scale. */
  clipped = 0;

  constructor(format: SampleFormat, seed: number = DEFAULT_SEED) {
    this.#format = format;
    this.#seed = seed >>> 0;
  }

  /** Fresh bytes of the first `frames` frames, each multiplied by `gain`. */
  format(left: Float64Array, right: Float64Array, frames: number, gain = 1): Uint8Array {
    const size = toSampleBytes(this.#format);
    const bytes = new Uint8Array(2 * frames * size);
    const view = new DataView(bytes.buffer);
    for (let i = 0; i < frames; i++) {
      this.#put(view, 2 * i * size, gain * left[i]);
      this.#put(view, (2 * i + 1) * size, gain * right[i]);
    }
    return bytes;
  }

  #put(view: DataView, at: number, value: number): void {
    if (this.#format === 'float') {
      if (value > 1 || value < -1) this.clipped++;
      view.setFloat32(at, value, true);
    } else if (this.#format === '16') {
      const dither = this.#random() - this.#random();
      view.setInt16(at, this.#round(value * 0x8000 + dither, 0x8000), true);
    } else {
      const whole = this.#round(value * 0x80_0000, 0x80_0000);
      view.setUint16(at, whole & 0xffff, true);
      view.setInt8(at + 2, whole >> 16);
    }
  }

  #round(value: number, full: number): number {
    const whole = Math.round(value);
    if (whole >= -full && whole < full) return whole;
    this.clipped++;
    return whole < 0 ? -full : full - 1;
  }

  /** 0 to just below 1: a counter, mixed by the steps of MurmurHash 3. */
  #random(): number {
    this.#seed = (this.#seed + 0x9e37_79b9) >>> 0;
    let mixed = this.#seed;
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85eb_ca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2_ae35);
    return ((mixed ^ (mixed >>> 16)) >>> 0) / 2 ** 32;
  }
}
