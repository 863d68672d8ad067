import { setTimeout } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { CLOCK, watchVitalSigns } from '../../../src/io/clock/index.js';
import { until } from '../../support/until.js';

test('vital signs show that a program was busy, and its garbage collections', async () => {
  const watch = watchVitalSigns();
  await setTimeout(50);
  const untilMs = CLOCK.now() + 80;
  let heap: number[][] = [];
  // However slow the computer is, more than the young generation holds: 80 MB.
  for (let made = 0; made < 10_000 || CLOCK.now() < untilMs; made++)
    heap = [...heap.slice(-100), new Array<number>(1000).fill(made / 2)];
  await until('its collections, and a late timer', () => {
    const { collections, lateWorstMs } = watch.read();
    return collections > 0 && lateWorstMs > 30;
  });
  const { lateWorstMs, collections, collectedMs, longestCollectionMs } = watch.read();
  watch.stop();
  expect(heap.length).toBeGreaterThan(1);
  expect(lateWorstMs).toBeGreaterThan(30);
  expect(collections).toBeGreaterThan(0);
  expect(collectedMs).toBeGreaterThan(0);
  expect(longestCollectionMs).toBeLessThanOrEqual(collectedMs);
});
