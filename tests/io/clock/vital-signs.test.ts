import { setTimeout } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { CLOCK, watchVitalSigns } from '../../../src/io/clock/index.js';

describe('vital signs', () => {
  it('tell of a program that was busy, and of its collections', async () => {
    const watch = watchVitalSigns();
    await setTimeout(50);
    const untilMs = CLOCK.now() + 80;
    let heap: number[][] = [];
    while (CLOCK.now() < untilMs) heap = [...heap.slice(-100), Array.from({ length: 1000 }, Math.random)];
    await setTimeout(50);
    const { lateWorstMs, collections, collectedMs, longestCollectionMs } = watch.read();
    watch.stop();
    expect(heap.length).toBeGreaterThan(1);
    expect(lateWorstMs).toBeGreaterThan(30);
    expect(collections).toBeGreaterThan(0);
    expect(collectedMs).toBeGreaterThan(0);
    expect(longestCollectionMs).toBeLessThanOrEqual(collectedMs);
  });
});
