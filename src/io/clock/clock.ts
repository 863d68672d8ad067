import { performance } from 'node:perf_hooks';

/** Something that is called again and again until it is stopped. */
export interface Ticker {
  /** Not called any more. Does nothing the second time. */
  stop(): void;
}

/** The time, and being called in time. */
export interface Clock {
  /** Milliseconds with fractions since the program began; never goes back, whatever happens to the time of day. */
  readonly now: () => number;
  /** Calls `run` every so many milliseconds. What falls due while the program is busy is called once, not made up for. */
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
