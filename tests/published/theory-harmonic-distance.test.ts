import { describe, expect, test } from 'vitest';
import { harmonicDistance, ratio, UNISON } from '../../src/core/theory/index.js';

/** Ours leaves out prime 2; Tenney's counts it, so its share is added back. */
function tenney(text: string): number {
  const v = ratio(text);
  return harmonicDistance(v, UNISON) + Math.abs(v[0]);
}

describe("Tenney's harmonic distance log2(n·d)", () => {
  // J. Tenney, "John Cage and the Theory of Harmony", 1983, for the measure; values as an
  // encyclopaedia page on it prints them.
  test.each([
    ['2/1', 1.0],
    ['3/2', 2.58496],
    ['5/4', 4.32193],
    ['7/4', 4.80735],
    ['11/8', 6.45943],
    ['11/7', 6.26679],
    ['13/11', 7.15987],
  ])('of %s is %d', (text, printed) => expect(Math.abs(tenney(text) - printed)).toBeLessThan(5e-6));
});

describe('the harmonic distance without octaves, to two decimals,', () => {
  // log2 of the product of the odd parts.
  test.each([
    ['3/2', 1.58],
    ['5/4', 2.32],
    ['6/5', 3.91],
    ['9/8', 3.17],
    ['10/9', 5.49],
    ['27/20', 7.08],
  ])('of %s is %d', (text, distance) =>
    expect(harmonicDistance(ratio(text), UNISON)).toBeCloseTo(distance, 2),
  );
});
