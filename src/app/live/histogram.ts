/** Buckets for each doubling of the time: a quantile is right to within 4.5 %. */
const STEPS = 16;
/** From 2⁻³ µs up to 2²⁴ µs, a quarter of a minute. */
const LEAST_EXPONENT = -3;
const MOST_EXPONENT = 24;

/** Quantiles in microseconds. All 0 while it is empty. */
export interface Quantiles {
  readonly count: number;
  readonly p50: number;
  readonly p99: number;
  readonly worst: number;
}

/**
 * Counts durations in buckets that grow with them, so that adding one costs next to nothing and the memory is constant.
 * The worst is exact. Hot path: allocates nothing.
 *
 * @example
 * const latency = new Histogram();
 * latency.add(12.5);
 * latency.quantiles();  // { count: 1, p50: 12.5, p99: 12.5, worst: 12.5 }
 */
export class Histogram {
  readonly #buckets = new Uint32Array((MOST_EXPONENT - LEAST_EXPONENT) * STEPS);
  #count = 0;
  #worst = 0;

  /** @param micros 0 or more */
  add(micros: number): void {
    const place = Math.floor((Math.log2(micros) - LEAST_EXPONENT) * STEPS);
    this.#buckets[Math.max(0, Math.min(this.#buckets.length - 1, place))]++;
    this.#count++;
    if (micros > this.#worst) this.#worst = micros;
  }

  quantiles(): Quantiles {
    return { count: this.#count, p50: this.at(0.5), p99: this.at(0.99), worst: this.#worst };
  }

  clear(): void {
    this.#buckets.fill(0);
    this.#count = 0;
    this.#worst = 0;
  }

  /** The upper edge of the bucket that holds the quantile, and never more than the worst. @param share 0..1 */
  at(share: number): number {
    let left = Math.ceil(share * this.#count);
    if (left === 0) return 0;
    for (let i = 0; i < this.#buckets.length; i++) {
      left -= this.#buckets[i];
      if (left <= 0) return Math.min(this.#worst, 2 ** ((i + 1) / STEPS + LEAST_EXPONENT));
    }
    return this.#worst;
  }
}
