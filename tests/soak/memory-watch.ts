import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** Memory at one moment, in MiB. */
export interface Memory {
  readonly seconds: number;
  /** What the heap really holds, everything that isn't needed collected. */
  readonly live: number;
  /** The whole process, as the system counts it. */
  readonly rss: number;
}

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

/**
 * Reads the memory of this process. Collects first, which takes some ten milliseconds: to be called in a rest.
 * @example readMemory().live  // 9.4
 */
export function readMemory(): Memory {
  collect();
  const { heapUsed, rss } = process.memoryUsage();
  return { seconds: performance.now() / 1000, live: heapUsed / 2 ** 20, rss: rss / 2 ** 20 };
}

/**
 * How fast what the heap holds grows, in MiB an hour: the slope of the straight line with the least squares.
 * @returns 0 for fewer than two readings
 */
export function toSlope(memory: readonly Memory[]): number {
  const mean = (of: (one: Memory) => number) => memory.reduce((sum, one) => sum + of(one), 0) / memory.length;
  const seconds = mean((one) => one.seconds);
  const live = mean((one) => one.live);
  let [across, along] = [0, 0];
  for (const one of memory) {
    across += (one.seconds - seconds) * (one.live - live);
    along += (one.seconds - seconds) ** 2;
  }
  return along === 0 ? 0 : (3600 * across) / along;
}
