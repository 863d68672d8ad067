import fc from 'fast-check';
import { expect, it } from 'vitest';
import { ratio, UNISON } from '../../../src/core/theory/index.js';
import { toPairPrice } from '../../../src/core/tuner/surroundings.js';
import { justChooser, pointOf } from '../../support/surroundings.js';

const price = (text: string) => toPairPrice(justChooser, ratio(text), UNISON);

it('just consonances are free, and impure ones dear, fifths more than thirds', () => {
  for (const text of ['1/1', '3/2', '4/3', '5/4', '6/5', '5/3', '8/5']) expect(price(text)).toBe(0);
  expect(price('81/64')).toBeGreaterThan(1000);
  expect(price('40/27')).toBeGreaterThan(24 * price('81/64'));
});

it('of seconds and tritones the shade has its price', () => {
  expect(price('9/8')).toBeLessThan(price('729/640'));
  expect(price('729/640')).toBeLessThan(1000);
});

it('is the same for either of the two, wherever they stand', () => {
  const shade = fc.record({
    fifths: fc.integer({ min: -8, max: 8 }),
    commas: fc.integer({ min: -3, max: 3 }),
  });
  fc.assert(
    fc.property(shade, shade, fc.integer({ min: -5, max: 5 }), (a, b, by) => {
      const [one, other] = [a, b].map(pointOf);
      expect(toPairPrice(justChooser, other, one)).toBeCloseTo(toPairPrice(justChooser, one, other), 6);
      const [far, away] = [a, b].map(({ fifths, commas }) => pointOf({ fifths, commas: commas + by }));
      expect(toPairPrice(justChooser, far, away)).toBeCloseTo(toPairPrice(justChooser, one, other), 6);
    }),
  );
});
