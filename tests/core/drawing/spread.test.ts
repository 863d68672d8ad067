import fc from 'fast-check';
import { expect, test } from 'vitest';
import { spread } from '../../../src/core/drawing/index.js';
import { forAll } from '../../support/properties.js';

/** No -0: it is 0 to everybody but a deep comparison. */
const toPlainZero = (value: number): number => value + 0;

test('spread moves labels that touch apart about their middle', () => {
  expect(spread([10, 12, 50], 10, 0, 100)).toEqual([6, 16, 50]);
});

test('spread leaves labels no closer than the gap, inside, in order, and unmoved where they need not move', () => {
  const positions = fc.array(fc.double({ min: -20, max: 320, noNaN: true }).map(toPlainZero), {
    minLength: 1,
    maxLength: 9,
  });
  forAll([positions], (wanted) => {
    const placed = spread(wanted, 20, 0, 300);
    const order = wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b] || a - b);
    order.forEach((at, k) => {
      expect(placed[at]).toBeGreaterThanOrEqual(-1e-6);
      expect(placed[at]).toBeLessThanOrEqual(300 + 1e-6);
      if (k > 0) expect(placed[at] - placed[order[k - 1]]).toBeGreaterThanOrEqual(20 - 1e-6);
    });
    const isFree = order.every(
      (at, k) => wanted[at] >= 0 && wanted[at] <= 300 && (k === 0 || wanted[at] - wanted[order[k - 1]] >= 20),
    );
    if (isFree) expect(placed).toEqual(wanted);
  });
});
