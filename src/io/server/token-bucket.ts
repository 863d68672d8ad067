/**
 * How fast somebody may go: so many at once, and so many a second in the long run. Allocates nothing.
 * @example
 * const bucket = new TokenBucket(120, 240);
 * if (!bucket.take(nowMs)) …  // too fast
 */
export class TokenBucket {
  readonly #perMs: number;
  readonly #most: number;
  #left: number;
  #atMs = -Infinity;

  constructor(perSecond: number, burst: number) {
    this.#perMs = perSecond / 1000;
    this.#most = burst;
    this.#left = burst;
  }

  take(nowMs: number): boolean {
    if (nowMs > this.#atMs) {
      if (this.#atMs !== -Infinity)
        this.#left = Math.min(this.#most, this.#left + (nowMs - this.#atMs) * this.#perMs);
      this.#atMs = nowMs;
    }
    if (this.#left < 1) return false;
    this.#left -= 1;
    return true;
  }
}
