import { describe, expect, test } from 'vitest';
import { COMMA_CENTS, formatCommas, toCommaRules, toTicks } from '../../../src/core/drawing/index.js';

describe('the scales of a chart', () => {
  test('a syntonic comma is 21.506 cents', () => {
    expect(COMMA_CENTS).toBeCloseTo(21.506, 3);
  });

  test('rules at whole commas, home left out, fewer where they crowd', () => {
    expect(toCommaRules({ low: -50, high: 25 })).toEqual([-2, -1, 1]);
    expect(toCommaRules({ low: -30 * COMMA_CENTS, high: 0 }, 9)).toEqual([-30, -25, -20, -15, -10, -5]);
  });

  test('round numbers', () => {
    expect(toTicks({ low: -54, high: 22 }, 5)).toEqual([-40, -20, 0, 20]);
    expect(toTicks({ low: 0, high: 100 }, 6)).toEqual([0, 20, 40, 60, 80, 100]);
    expect([-2, 1].map(formatCommas)).toEqual(['−2 commas', '+1 comma']);
  });
});
