import { setTimeout } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { CLOCK } from '../../../src/io/clock/index.js';

test('the clock goes forward, in fractions of a millisecond', async () => {
  const before = CLOCK.now();
  await setTimeout(5);
  const after = CLOCK.now();
  expect(after).toBeGreaterThan(before + 3);
  expect(Number.isInteger(before) && Number.isInteger(after)).toBe(false);
});

test('the clock calls repeatedly until it is stopped', async () => {
  let calls = 0;
  const called = new Promise<void>((resolve) => {
    const ticker = CLOCK.every(1, () => {
      calls++;
      if (calls < 3) return;
      ticker.stop();
      ticker.stop();
      resolve();
    });
  });
  await called;
  await setTimeout(20);
  expect(calls).toBe(3);
});
