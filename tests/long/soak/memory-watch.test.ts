import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readMemory, toSlope } from '../../soak/memory-watch.js';
import { forAll } from '../../support/properties.js';

test('the slope of memory readings on a straight line is that of the line', () => {
  const line = fc.record({
    start: fc.integer({ min: 1, max: 100 }),
    hourly: fc.integer({ min: -50, max: 50 }),
  });
  const moments = fc.uniqueArray(fc.integer({ min: 0, max: 7200 }), { minLength: 2, maxLength: 20 });
  forAll([line, moments], ({ start, hourly }, seconds) => {
    const readings = seconds.map((at) => ({ seconds: at, live: start + (hourly * at) / 3600, rss: 0 }));
    expect(toSlope(readings)).toBeCloseTo(hourly, 6);
  });
});

test('one memory reading has no slope', () => expect(toSlope([readMemory()])).toBe(0));

test('memory that is held is seen, and memory that is released is not', () => {
  const before = readMemory().live;
  let held: number[][] | undefined = Array.from({ length: 64 }, () => new Array<number>(16_384).fill(0.5));
  const within = readMemory().live;
  expect(held.length).toBe(64);
  held = undefined;
  const after = readMemory().live;
  // 64 arrays of 16 384 doubles are 8 MiB.
  expect(within - before).toBeGreaterThan(7);
  expect(after - before).toBeLessThan(2);
});
