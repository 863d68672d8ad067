import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  DEFAULT_SHIFT_PRICE,
  toShiftedShare,
  toShiftPrice,
} from '../../../../src/core/score/plan/return-prices.js';
import type { PrimeVector } from '../../../../src/core/theory/index.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, smallPieces, toChords } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

const SETTINGS = toSettings({ strategy: 'free' });
const COMMA: PrimeVector = [0, 4, -1, 0, 0, 0];

/** A row of equal chords, each struck anew, so many of whose notes come back a comma away. */
function repeat(chords: number, shifted: number) {
  const { problem, live } = pose(toChords(new Array(chords).fill('C4 E4 G4'), false), SETTINGS);
  const path = live.slice();
  // The last notes: nothing comes back after them.
  for (let i = 0; i < shifted; i++) {
    const slot = path.length - 1 - i;
    path[slot] = path[slot].map((exponent, prime) => exponent + COMMA[prime]) as unknown as PrimeVector;
  }
  return { problem, live, path };
}

describe('the price of a note that comes back elsewhere', () => {
  test('knows how many do: three of the last chord, of 27 that come back', () => {
    const { problem, live, path } = repeat(10, 3);
    expect(toShiftedShare(problem, live)).toBe(0);
    expect(toShiftedShare(problem, path)).toBeCloseTo(3 / 27, 9);
  });

  test('is the default price where many do, and 1.6 times that where none does, or nothing comes back', () => {
    const { problem, live, path } = repeat(10, 3);
    expect(toShiftPrice(problem, path)).toBe(DEFAULT_SHIFT_PRICE);
    expect(toShiftPrice(problem, live)).toBeCloseTo(1.6 * DEFAULT_SHIFT_PRICE, 12);
    const once = pose(toChords(['C4 E4 G4']), SETTINGS);
    expect(toShiftPrice(once.problem, once.live, 2)).toBeCloseTo(3.2, 12);
  });

  test('rises in between as they grow rarer: by (0.06 ÷ share) to the power of 0.8', () => {
    const { problem, path } = repeat(26, 3);
    expect(toShiftedShare(problem, path)).toBeCloseTo(0.04, 9);
    expect(toShiftPrice(problem, path, 1)).toBeCloseTo(1.3832, 4);
  });

  test('is always between the two', () => {
    forAll([smallPieces(12), fc.double({ min: 0.1, max: 10, noNaN: true })], (notes, price) => {
      const { problem, live } = pose(notes, SETTINGS);
      const asked = toShiftPrice(problem, live, price);
      expect(asked).toBeGreaterThanOrEqual(price);
      expect(asked).toBeLessThanOrEqual(1.6 * price);
    });
  });
});
