import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LIVE_PRICES, scale, toCommaPrice } from '../../../src/core/tuner/comma-prices.js';
import { toConsonances } from '../../../src/core/tuner/consonance.js';
import { forAll } from '../../support/properties.js';

const TABLES = [
  ['sounding', LIVE_PRICES.sounding],
  ['recent', LIVE_PRICES.recent],
  ['lasting', LIVE_PRICES.lasting],
] as const;

const apart = fc.integer({ min: -12, max: 12 });
const COMMAS = [-3, -2, -1, 0, 1, 2, 3];

describe.each(TABLES)('the prices beside something %s', (name, prices) => {
  test('are never negative, and leave one place of each row free', () => {
    for (let fifths = 0; fifths <= 6; fifths++) {
      const row = COMMAS.map((commas) => toCommaPrice(prices, fifths, commas));
      expect(Math.min(...row)).toBe(0);
    }
  });

  test('are the same for an interval and its inversion', () => {
    forAll([apart, apart], (fifths, commas) => {
      expect(toCommaPrice(prices, -fifths, -commas)).toBe(toCommaPrice(prices, fifths, commas));
    });
  });

  test('are zero for notes too far apart, and do not grow beyond three commas', () => {
    forAll([apart, apart], (fifths, commas) => {
      const price = toCommaPrice(prices, fifths, commas);
      if (Math.abs(fifths) > 6) expect(price).toBe(0);
      expect(toCommaPrice(prices, fifths, Math.max(-3, Math.min(3, commas)))).toBe(price);
    });
  });

  test('prefer that a note comes back where it was', () => {
    for (const commas of [-3, -2, -1, 1, 2, 3]) {
      const price = toCommaPrice(prices, 0, commas);
      if (name === 'sounding') expect(price).toBe(0);
      else expect(price).toBeGreaterThan(toCommaPrice(prices, 0, 0));
    }
  });
});

test('comma prices are zero for consonances with sounding notes, whose sizes are just', () => {
  for (const fifths of toConsonances(5).keys())
    for (const commas of COMMAS) expect(toCommaPrice(LIVE_PRICES.sounding, fifths, commas)).toBe(0);
});

test('comma prices fade, at first faster than later', () => {
  expect(LIVE_PRICES.recentSeconds).toBeGreaterThan(0);
  expect(LIVE_PRICES.lastingSeconds).toBeGreaterThan(LIVE_PRICES.recentSeconds);
});

test('comma prices are all multiplied by the same factor', () => {
  const twice = scale(LIVE_PRICES.recent, 2);
  forAll([apart, apart], (fifths, commas) => {
    const once = toCommaPrice(LIVE_PRICES.recent, fifths, commas);
    expect(toCommaPrice(twice, fifths, commas)).toBeCloseTo(2 * once, 12);
  });
});
