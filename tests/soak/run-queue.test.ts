import { existsSync } from 'node:fs';
import { expect, test } from 'vitest';
import { openRunQueue } from './run-queue.js';

const FILE = '/proc/thread-self/schedstat';

test('the time a thread waits for a processor is known where the system gives it, never decreases, and is no more than has passed', () => {
  const queue = openRunQueue();
  if (queue === undefined) {
    expect(existsSync(FILE)).toBe(false);
    return;
  }
  const fromMs = performance.now();
  const before = queue.waitedMs();
  let last = before;
  for (let i = 0; i < 1000; i++) {
    const waited = queue.waitedMs();
    expect(waited).toBeGreaterThanOrEqual(last);
    last = waited;
  }
  expect(last - before).toBeLessThanOrEqual(performance.now() - fromMs);
});
