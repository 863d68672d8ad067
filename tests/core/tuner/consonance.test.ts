import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatRatio, ratio, toDeviationCents, toFifths, withKeys } from '../../../src/core/theory/index.js';
import { toConsonances, toImpurity } from '../../../src/core/tuner/consonance.js';
import { forAll } from '../../support/properties.js';
import { centsOf, pointOf, toClass } from '../../support/surroundings.js';

const JUST = toConsonances(5);
const impurity = (text: string, toleranceCents = 0) => toImpurity(ratio(text), JUST, toleranceCents);

/** A ratio in primes 3 and 5, by its steps on the line of fifths and its commas. */
const shade = fc.record({
  fifths: fc.integer({ min: -15, max: 15 }),
  commas: fc.integer({ min: -4, max: 4 }),
});

test('the consonances are the octave, fifths, thirds and sixths, each of one just size', () => {
  const list = [...JUST].map(([fifths, point]) => [fifths, formatRatio(withKeys(point, toClass(fifths)))]);
  expect(Object.fromEntries(list)).toEqual({
    0: '1/1',
    1: '3/2',
    [-1]: '4/3',
    3: '5/3',
    [-3]: '6/5',
    4: '5/4',
    [-4]: '8/5',
  });
  for (const [fifths, point] of JUST) expect(toFifths(point)).toBe(fifths);
});

test('the consonances leave out the thirds in the 3-limit, and are the same with higher primes', () => {
  expect([...toConsonances(3).keys()].sort()).toEqual([-1, 0, 1]);
  for (const limit of [7, 11, 13]) expect(toConsonances(limit)).toEqual(JUST);
});

describe('the impurity of two notes', () => {
  test.each(['1/1', '2/1', '3/2', '4/3', '5/4', '6/5', '8/5', '5/3', '5/2'])('%s has none', (text) => {
    expect(impurity(text)).toBe(0);
  });

  test.each(['9/8', '10/9', '15/8', '45/32', '75/64', '32/25', '128/75', '25/16'])(
    '%s has none: it is no consonance, and augmented seconds and diminished fourths are no thirds',
    (text) => expect(impurity(text)).toBe(0),
  );

  test('is worst for an octave, then for a fourth or fifth, then for a third, however slight', () => {
    const rising = ['27/16', '81/64', '27/20', '40/27', '81/80', '6561/6400'].map((text) => impurity(text));
    expect([...rising].sort((a, b) => a - b)).toEqual(rising);
    // All 24 thirds of the twelve keys weigh less than one fifth, and all twelve fifths less than an octave.
    expect(24 * impurity('100/81')).toBeLessThan(impurity('27/20'));
    expect(12 * impurity('40/27')).toBeLessThan(impurity('81/80'));
  });

  test('is worse the farther off a consonance is', () => {
    expect(impurity('6561/5120')).toBeGreaterThan(impurity('81/64'));
    expect(impurity('81/64')).toBeGreaterThan(0);
  });

  test('counts what is an octave, fourth or fifth by its keys, even if it is spelled otherwise', () => {
    // B♯ over C, A♯♯♯ … : twelve and eleven fifths.
    expect(impurity('531441/524288')).toBeGreaterThan(impurity('40/27'));
    expect(impurity('177147/131072')).toBeGreaterThan(100 * impurity('81/64'));
  });

  test('is the same for an interval and its inversion, wherever the octaves are', () => {
    forAll([shade], ({ fifths, commas }) => {
      const up = toImpurity(pointOf({ fifths, commas }), JUST, 0);
      const down = toImpurity(pointOf({ fifths: -fifths, commas: -commas }), JUST, 0);
      expect(down).toBeCloseTo(up, 6);
      const [, ...odd] = pointOf({ fifths, commas });
      expect(toImpurity([3, ...odd], JUST, 0)).toBe(up);
    });
  });

  test('is far less as long as a consonance is no more than the tolerance off', () => {
    forAll([shade, fc.double({ min: 0, max: 50, noNaN: true })], (one, toleranceCents) => {
      const just = JUST.get(one.fifths);
      fc.pre(just !== undefined);
      const off = Math.abs(centsOf(one) - toDeviationCents(just));
      fc.pre(Math.abs(off - toleranceCents) > 1e-3);
      expect(toImpurity(pointOf(one), JUST, toleranceCents) < 10).toBe(off < toleranceCents);
    });
  });
});
