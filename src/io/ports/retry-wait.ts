/** How long after a failure to try again, and at most after many. */
const FIRST_MS = 250;
const LONGEST_MS = 4000;

/** Whether it is time to try again something that has failed: ever more rarely, until it has worked for long. */
export class RetryWait {
  #failedMs = 0;
  #waitMs = 0;
  #workedMs = 0;

  /** @param nowMs a clock that only goes forward; should it jump back, waiting begins anew */
  isDue(nowMs: number): boolean {
    if (nowMs < this.#failedMs) this.#failedMs = nowMs;
    return nowMs - this.#failedMs >= this.#waitMs;
  }

  /**
   * It failed.
   * @example
   * const wait = new RetryWait();
   * wait.fail(0);
   * wait.isDue(249)  // false
   */
  fail(nowMs: number): void {
    this.#failedMs = nowMs;
    this.#waitMs = Math.min(LONGEST_MS, Math.max(FIRST_MS, 2 * this.#waitMs));
  }

  /** It works, and from now on that counts. */
  work(nowMs: number): void {
    this.#workedMs = nowMs;
  }

  /** It worked and does so no more. Where it had worked for long, the next wait is short. */
  breakDown(nowMs: number): void {
    if (nowMs - this.#workedMs > LONGEST_MS) this.clear();
    this.fail(nowMs);
  }

  /** Forgets all failures: the thing is another one now. */
  clear(): void {
    this.#waitMs = 0;
  }
}
