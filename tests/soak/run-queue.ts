import { openSync, readSync } from 'node:fs';

/** Of a file of `/proc` that has three numbers. */
const MOST_BYTES = 96;
const SPACE = 0x20;
const ZERO = 0x30;

/**
 * How long the thread that opened it has waited for a processor though it had something to do, in milliseconds since it
 * began: others had them all. Linux tells; elsewhere there is none.
 *
 * @see Documentation/scheduler/sched-stats.rst of the Linux kernel: /proc/<pid>/schedstat, second field, in nanoseconds
 * @example
 * const queue = openRunQueue();
 * queue?.waitedMs();  // 1834.2
 */
export function openRunQueue(): { waitedMs(): number } | undefined {
  let file: number;
  try {
    file = openSync('/proc/thread-self/schedstat', 'r');
  } catch {
    return undefined;
  }
  const bytes = new Uint8Array(MOST_BYTES);
  return {
    waitedMs: () => {
      readSync(file, bytes, 0, MOST_BYTES, 0);
      return readSecond(bytes) / 1e6;
    },
  };
}

/** The second of the numbers in a line, without a string in between: it is asked before every message. */
function readSecond(line: Uint8Array): number {
  let i = line.indexOf(SPACE) + 1;
  let value = 0;
  for (; line[i] !== SPACE; i++) value = 10 * value + line[i] - ZERO;
  return value;
}
