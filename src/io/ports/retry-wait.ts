/** The wait after a failure, and the longest after many. */
const FIRST_MS = 250;
const LONGEST_MS = 4000;

/** Decides when to retry after failures: ever more rarely, until it has worked for long. */
export class RetryWait {
  #failedMs = 0;
  #waitMs = 0;
  #workedMs = 0;

  /**
   * @param nowMs a clock that only goes forward; if it jumps back, waiting starts again
   */
  isDue(nowMs: number): boolean {
    if (nowMs < this.#failedMs) this.#failedMs = nowMs;
    return nowMs - this.#failedMs >= this.#waitMs;
  }

  /**
   * Records a failure.
   * @example
   * const wait = new RetryWait();
   * wait.fail(0);
   * wait.isDue(249)  // false
   */
  fail(nowMs: number): void {
    this.#failedMs = nowMs;
    this.#waitMs = Math.min(LONGEST_MS, Math.max(FIRST_MS, 2 * this.#waitMs));
  }

  work(nowMs: number): void {
    this.#workedMs = nowMs;
  }

  /** Records that it stopped working. If it had worked for long, the next wait is short. */
  breakDown(nowMs: number): void {
    if (nowMs - this.#workedMs > LONGEST_MS) this.clear();
    this.fail(nowMs);
  }

  /** Clears all failures: it is another port now. */
  clear(): void {
    this.#waitMs = 0;
  }
}
