import { expect, test } from 'vitest';
import { RetryWait } from '../../../src/io/ports/retry-wait.js';

/** How long it waits from a time on. */
function measure(wait: RetryWait, fromMs: number): number {
  let ms = 0;
  while (!wait.isDue(fromMs + ms)) ms++;
  return ms;
}

test('waits twice as long after each failure, 4 s at most', () => {
  const wait = new RetryWait();
  expect(measure(wait, 0)).toBe(0);
  const waits = [1, 2, 3, 4, 5, 6].map(() => {
    wait.fail(10_000);
    return measure(wait, 10_000);
  });
  expect(waits).toEqual([250, 500, 1000, 2000, 4000, 4000]);
  wait.clear();
  expect(measure(wait, 10_000)).toBe(0);
});

test('what worked for long begins with a short wait, what broke at once does not', () => {
  const wait = new RetryWait();
  for (const at of [0, 250, 750]) wait.fail(at);
  wait.work(2000);
  wait.breakDown(2500);
  expect(measure(wait, 2500)).toBe(2000);
  wait.work(5000);
  wait.breakDown(9001);
  expect(measure(wait, 9001)).toBe(250);
});

test('a clock that jumps back begins the wait anew', () => {
  const wait = new RetryWait();
  wait.fail(1e9);
  expect(measure(wait, 0)).toBe(250);
});
