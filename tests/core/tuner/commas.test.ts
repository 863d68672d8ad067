import fc from 'fast-check';
import { expect, it } from 'vitest';
import { ratio, toCommas, toDeviationCents, toFifths, UNISON } from '../../../src/core/theory/index.js';
import { toPoint } from '../../../src/core/tuner/places.js';

it.each([
  ['1/1', 0],
  ['3/2', 0],
  ['5/4', 1],
  ['6/5', -1],
  ['25/16', 2],
  ['81/80', -1],
  ['7/4', 1],
  ['9/7', -1],
])('%s lies %i commas below the chain of fifths', (text, commas) => {
  expect(toCommas(ratio(text))).toBe(commas);
});

it('is the number of commas that a point was made with', () => {
  fc.assert(
    fc.property(fc.integer({ min: -40, max: 40 }), fc.integer({ min: -40, max: 40 }), (fifths, commas) => {
      expect(toCommas(toPoint(fifths, commas, UNISON))).toBe(commas);
    }),
  );
});

it('is the pitch to the nearest comma, whatever the primes', () => {
  const high = fc.integer({ min: -6, max: 6 });
  const low = fc.integer({ min: -20, max: 20 });
  fc.assert(
    fc.property(low, low, high, high, high, (three, five, seven, eleven, thirteen) => {
      const point = [0, three, five, seven, eleven, thirteen] as const;
      const chain = toDeviationCents([0, toFifths(point), 0, 0, 0, 0]);
      const below = (chain - toDeviationCents(point)) / toDeviationCents(ratio('81/80'));
      expect(Math.abs(toCommas(point) - below)).toBeLessThanOrEqual(0.5 + 1e-9);
    }),
  );
});
