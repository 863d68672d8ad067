import { expect, test } from 'vitest';
import { RetryWait } from '../../../src/io/ports/retry-wait.js';

/** How long it waits from a time on. */
function measure(wait: RetryWait, fromMs: number): number {
  let ms = 0;
  while (!wait.isDue(fromMs + ms)) ms++;
  return ms;
}

test('the wait before a retry doubles after each failure, up to 4 s', () => {
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

test('the wait before a retry is short again after a long success, and not after a brief one', () => {
  const wait = new RetryWait();
  for (const at of [0, 250, 750]) wait.fail(at);
  wait.work(2000);
  wait.breakDown(2500);
  expect(measure(wait, 2500)).toBe(2000);
  wait.work(5000);
  wait.breakDown(9001);
  expect(measure(wait, 9001)).toBe(250);
});

test('the wait before a retry starts again when the clock jumps back', () => {
  const wait = new RetryWait();
  wait.fail(1e9);
  expect(measure(wait, 0)).toBe(250);
});
