import { monitorEventLoopDelay, PerformanceObserver } from 'node:perf_hooks';
import { Histogram } from '../../src/app/live/histogram.js';
import { openRunQueue } from './run-queue.js';
import { formatSlowest, Slowest } from './slowest.js';

const MOST_SLOW = 10;
/** The grid of the timer whose lateness is measured, in milliseconds. */
const RESOLUTION_MS = 10;

const SHARES = [0.5, 0.9, 0.99, 0.999, 0.9999];

/** What was measured since it was cleared, in milliseconds. */
export interface PaceFigures {
  readonly messages: number;
  readonly quantiles: readonly { readonly share: number; readonly ms: number }[];
  readonly worstMs: number;
  /** A line for each of the slowest. */
  readonly slowest: readonly string[];
  /** Of the music's thread. */
  readonly collections: { readonly count: number; readonly longestMs: number };
  /** How late a timer was called: all but one in a hundred, and the worst. */
  readonly lateP99Ms: number;
  readonly lateWorstMs: number;
}

/**
 * How fast the program is: for each message the time from just before the driver's callback to just after the fake port
 * had the last message sent because of it; what went on in the slowest; how late timers were called.
 */
export class Pace {
  readonly #latency = new Histogram();
  readonly #slowest = new Slowest(MOST_SLOW);
  readonly #collections = { count: 0, longestMs: 0 };
  readonly #delay = monitorEventLoopDelay({ resolution: RESOLUTION_MS });
  readonly #queue = openRunQueue();
  #waitedMs = 0;
  /** When what was left out last began and ended. */
  #leftOut = { fromMs: 0, untilMs: 0 };

  constructor() {
    this.#delay.enable();
    new PerformanceObserver((list) => {
      for (const { startTime, duration } of list.getEntries()) this.collect(startTime, duration);
    }).observe({ entryTypes: ['gc'] });
  }

  /** A message is about to be fed. @returns when */
  begin(): number {
    if (this.#queue !== undefined) this.#waitedMs = this.#queue.waitedMs();
    return performance.now();
  }

  /** @param untilMs when the last message arrived because of it; if before `fromMs`, nothing was sent */
  end(fromMs: number, untilMs: number, gesture: string): void {
    const ms = untilMs - fromMs;
    if (ms < 0) return;
    this.#latency.add(1000 * ms);
    if (!this.#slowest.admits(ms)) return;
    const waitedMs = this.#queue && Math.min(ms, this.#queue.waitedMs() - this.#waitedMs);
    this.#slowest.add(fromMs, ms, gesture, waitedMs);
  }

  /** Something happened that may explain what is slow. */
  happen(what: string): void {
    this.#slowest.happen(performance.now(), what);
  }

  /** Rubbish was collected. Of that during what was left out nothing is told. */
  collect(atMs: number, ms: number): void {
    if (atMs >= this.#leftOut.fromMs && atMs <= this.#leftOut.untilMs) return;
    this.#collections.count++;
    this.#collections.longestMs = Math.max(this.#collections.longestMs, ms);
    this.#slowest.collect(atMs, ms);
  }

  /** Does something that is none of the program's, in a rest: neither its collections nor the timers it delays count. */
  leaveOut<T>(work: () => T): T {
    this.#delay.disable();
    const fromMs = performance.now();
    const made = work();
    this.#leftOut = { fromMs, untilMs: performance.now() };
    this.#delay.enable();
    return made;
  }

  read(): PaceFigures {
    const toLateMs = (nanos: number) => Math.max(0, nanos / 1e6 - RESOLUTION_MS);
    const { count, worst } = this.#latency.quantiles();
    return {
      messages: count,
      quantiles: SHARES.map((share) => ({ share, ms: this.#latency.at(share) / 1000 })),
      worstMs: worst / 1000,
      slowest: formatSlowest(this.#slowest.messages),
      collections: { ...this.#collections },
      lateP99Ms: toLateMs(this.#delay.percentile(99)),
      lateWorstMs: toLateMs(this.#delay.max),
    };
  }

  clear(): void {
    this.#latency.clear();
    this.#slowest.clear();
    this.#delay.reset();
    this.#collections.count = 0;
    this.#collections.longestMs = 0;
  }
}
