import type { Clock } from '../../src/io/clock/index.js';

/** A clock that goes when it is told to. */
export class HandClock implements Clock {
  nowMs: number;
  readonly #tickers = new Set<{ ms: number; run: () => void; nextMs: number }>();
  readonly now = (): number => this.nowMs;

  constructor(nowMs = 1000) {
    this.nowMs = nowMs;
  }

  every(ms: number, run: () => void) {
    const ticker = { ms, run, nextMs: this.nowMs + ms };
    this.#tickers.add(ticker);
    return { stop: () => void this.#tickers.delete(ticker) };
  }

  get tickers(): number {
    return this.#tickers.size;
  }

  /** When something is due next; Infinity if nothing is. */
  get nextMs(): number {
    return Math.min(Infinity, ...[...this.#tickers].map(({ nextMs }) => nextMs));
  }

  wait(ms: number): void {
    const untilMs = this.nowMs + ms;
    for (;;) {
      const next = [...this.#tickers].sort((a, b) => a.nextMs - b.nextMs)[0];
      if (next === undefined || next.nextMs > untilMs) break;
      // What fell due during a sleep is called once.
      this.nowMs = Math.max(this.nowMs, next.nextMs);
      next.nextMs = this.nowMs + next.ms;
      next.run();
    }
    this.nowMs = untilMs;
  }
}
