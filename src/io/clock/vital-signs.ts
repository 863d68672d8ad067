import { monitorEventLoopDelay, PerformanceObserver } from 'node:perf_hooks';

/** How well the program keeps time, since watching began. */
export interface VitalSigns {
  /** Runs of the garbage collector, and their time in milliseconds. */
  readonly collections: number;
  readonly collectedMs: number;
  readonly longestCollectionMs: number;
  /** Lateness of a timer of 10 ms, in milliseconds: median, 99th percentile, worst. */
  readonly lateP50Ms: number;
  readonly lateP99Ms: number;
  readonly lateWorstMs: number;
}

/** Period of the timer whose lateness is measured, in milliseconds. */
const RESOLUTION_MS = 10;

/**
 * Watches garbage collections and the lateness of the event loop, at almost no cost.
 * @example
 * const watch = watchVitalSigns();
 * watch.read().lateP99Ms;
 * watch.stop();
 */
export function watchVitalSigns(): { read(): VitalSigns; stop(): void } {
  let collections = 0;
  let collectedMs = 0;
  let longestCollectionMs = 0;
  const observer = new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) {
      collections++;
      collectedMs += duration;
      longestCollectionMs = Math.max(longestCollectionMs, duration);
    }
  });
  observer.observe({ entryTypes: ['gc'] });
  const delay = monitorEventLoopDelay({ resolution: RESOLUTION_MS });
  delay.enable();
  // The monitor measures the whole time between two calls, in nanoseconds.
  const toLate = (nanos: number): number =>
    Number.isFinite(nanos) ? Math.max(0, nanos / 1e6 - RESOLUTION_MS) : 0;
  return {
    read: () => ({
      collections,
      collectedMs,
      longestCollectionMs,
      lateP50Ms: toLate(delay.percentile(50)),
      lateP99Ms: toLate(delay.percentile(99)),
      lateWorstMs: toLate(delay.max),
    }),
    stop() {
      observer.disconnect();
      delay.disable();
    },
  };
}
