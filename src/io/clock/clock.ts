import { performance } from 'node:perf_hooks';

/** A function called periodically until it is stopped. */
export interface Ticker {
  stop(): void;
}

/** Time and timers. */
export interface Clock {
  /** Milliseconds with fractions since the program started; never goes back, whatever happens to the time of day. */
  readonly now: () => number;
  /** Calls `run` every so many milliseconds. Missed calls while the program is busy are made once, not repeated. */
  every(ms: number, run: () => void): Ticker;
}

/** The clock of this computer. Its tickers keep the program running until they are stopped. */
export const CLOCK: Clock = Object.freeze({
  now: () => performance.now(),
  every(ms: number, run: () => void): Ticker {
    const timer = setInterval(run, ms);
    return { stop: () => clearInterval(timer) };
  },
});
