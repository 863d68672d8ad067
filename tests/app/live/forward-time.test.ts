import { expect, test } from 'vitest';
import { ForwardTime } from '../../../src/app/live/live-guard.js';

test('time stands still while the clock beneath has gone back', () => {
  const readings = [5, 3, 4.5, 6.25];
  const time = new ForwardTime(() => readings.shift() ?? 0);
  expect(time.latestMs).toBe(0);
  expect([time.now(), time.now(), time.now(), time.now()]).toEqual([5, 5, 5, 6.25]);
  expect(time.latestMs).toBe(6.25);
});
