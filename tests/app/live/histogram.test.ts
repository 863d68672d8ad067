import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Histogram } from '../../../src/app/live/histogram.js';
import { forAll } from '../../support/properties.js';

describe('the histogram', () => {
  test('is empty at first and after it is cleared', () => {
    const histogram = new Histogram();
    const nothing = { count: 0, p50: 0, p99: 0, worst: 0 };
    expect(histogram.quantiles()).toEqual(nothing);
    histogram.add(5);
    histogram.clear();
    expect(histogram.quantiles()).toEqual(nothing);
  });

  test('knows the quantiles to within a bucket, and the worst exactly', () => {
    forAll(
      [fc.array(fc.double({ min: 0.2, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 500 })],
      (times) => {
        const histogram = new Histogram();
        for (const time of times) histogram.add(time);
        const sorted = [...times].sort((a, b) => a - b);
        const { count, p50, p99, worst } = histogram.quantiles();
        expect(count).toBe(times.length);
        expect(worst).toBe(sorted.at(-1));
        for (const [share, found] of [
          [0.5, p50],
          [0.99, p99],
        ]) {
          const exact = sorted[Math.ceil(share * times.length) - 1];
          expect(found / exact).toBeGreaterThanOrEqual(0.9999);
          expect(found / exact).toBeLessThan(1.046);
        }
      },
    );
  });

  test('counts values of zero and beyond its range', () => {
    const histogram = new Histogram();
    histogram.add(0);
    histogram.add(1e12);
    expect(histogram.quantiles()).toMatchObject({ count: 2, worst: 1e12 });
  });
});
