import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  divide,
  equal,
  formatRatio,
  harmonicDistance,
  multiply,
  PRIME_KEYS,
  type PrimeVector,
  power,
  ratio,
  sameClass,
  toCents,
  toCommas,
  toDeviationCents,
  toFifths,
  toKeys,
  UNISON,
  withKeys,
} from '../../../src/core/theory/index.js';
import { toIntervalClass, toKeyClass } from '../../../src/core/theory/vector.js';
import { toPoint } from '../../../src/core/tuner/places.js';
import { numbers } from '../../support/numbers.js';
import { forAll } from '../../support/properties.js';
import { fractionOf, vectors } from './help.js';

const small = vectors(4);
const exponent = fc.integer({ min: -6, max: 6 });

describe('arithmetic, against fraction.js', () => {
  test('multiplies and divides', () => {
    forAll([small, small], (a, b) => {
      expect(fractionOf(multiply(a, b)).equals(fractionOf(a).mul(fractionOf(b)))).toBe(true);
      expect(fractionOf(divide(a, b)).equals(fractionOf(a).div(fractionOf(b)))).toBe(true);
    });
  });

  test('raises to a power', () => {
    forAll([small, exponent], (a, n) => {
      expect(fractionOf(power(a, n)).equals(fractionOf(a).pow(n))).toBe(true);
    });
  });

  test('takes cents', () => {
    forAll([small], (a) => {
      expect(toCents(a)).toBeCloseTo(1200 * Math.log2(fractionOf(a).valueOf()), 8);
    });
  });

  test('never returns -0', () => {
    expect(power(ratio('5/4'), 0)).toStrictEqual([0, 0, 0, 0, 0, 0]);
    expect(divide(UNISON, UNISON)).toStrictEqual([0, 0, 0, 0, 0, 0]);
    expect(power([0, 1, 0, 0, 0, 0], -1)).toStrictEqual([0, -1, 0, 0, 0, 0]);
  });

  test('stays exact after ten thousand commas', () => {
    const comma = ratio('81/80');
    let here = ratio('5/4');
    for (let i = 0; i < 10_000; i++) here = multiply(here, comma);
    expect(divide(here, power(comma, 10_000))).toEqual(ratio('5/4'));
  });
});

test('equal distinguishes ratios by octave, and sameClass does not', () => {
  expect(equal(ratio('3/2'), ratio('3/1'))).toBe(false);
  expect(sameClass(ratio('3/2'), ratio('3/1'))).toBe(true);
  expect(sameClass(ratio('3/2'), ratio('5/2'))).toBe(false);
});

describe('keys and the line of fifths', () => {
  test.each([
    ['1/1', 0, 0],
    ['2/1', 12, 0],
    ['3/2', 7, 1],
    ['5/4', 4, 4],
    ['6/5', 3, -3],
    ['7/4', 10, -2],
    ['11/8', 6, 6],
    ['13/8', 8, -4],
    ['81/80', 0, 0],
    ['64/63', 0, 0],
    ['128/125', 0, -12],
    ['531441/524288', 0, 12],
  ])('%s spans %i keys and %i fifths', (text, keys, fifths) => {
    expect([toKeys(ratio(text)), toFifths(ratio(text))]).toEqual([keys, fifths]);
  });

  test('puts every prime on the key of its letter name', () => {
    for (const [i, keys] of PRIME_KEYS.entries()) {
      const prime = UNISON.map((_, j) => (i === j ? 1 : 0)) as unknown as PrimeVector;
      expect((keys - 7 * toFifths(prime)) % 12).toBe(0);
    }
  });

  test('makes cents of keys and deviation together', () => {
    forAll([small], (v) => {
      expect(100 * toKeys(v) + toDeviationCents(v)).toBeCloseTo(toCents(v), 8);
    });
  });

  test('moves octaves only by withKeys', () => {
    forAll([small, exponent], (v, octaves) => {
      const keys = toKeys(v) + 12 * octaves;
      const moved = withKeys(v, keys);
      expect(toKeys(moved)).toBe(keys);
      expect(moved[0]).toBe(v[0] + octaves);
      expect(sameClass(moved, v)).toBe(true);
    });
  });
});

test('harmonicDistance is log2 of the product of the odd parts', () => {
  forAll([small], (v) => {
    const odd = fractionOf([0, v[1], v[2], v[3], v[4], v[5]]);
    expect(harmonicDistance(v, UNISON)).toBeCloseTo(Math.log2(Number(odd.n)) + Math.log2(Number(odd.d)), 8);
  });
});

test('harmonicDistance is a metric', () => {
  forAll([small, small, small], (a, b, c) => {
    const [ab, bc, ac] = [harmonicDistance(a, b), harmonicDistance(b, c), harmonicDistance(a, c)];
    expect(harmonicDistance(b, a)).toBe(ab);
    expect(ac).toBeLessThanOrEqual(ab + bc + 1e-9);
    expect(ab === 0).toBe(sameClass(a, b));
  });
});

test('vectors are printed as in the docstrings', () => {
  expect(formatRatio(multiply(ratio('3/2'), ratio('5/4')))).toBe('15/8');
  expect(formatRatio(divide(ratio('9/8'), ratio('10/9')))).toBe('81/80');
});

test.each(numbers('0 0, 11 11, 12 0, -1 11, -13 11, 127 7'))('the key class of %i is %i', (keys, keyClass) =>
  expect(toKeyClass(keys)).toBe(keyClass),
);

test('an interval and its inversion have one interval class, 0 to 6', () => {
  expect(Array.from({ length: 13 }, (_, keys) => toIntervalClass(keys))).toEqual([
    0, 1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1, 0,
  ]);
  expect(toIntervalClass(-7)).toBe(5);
});

test.each([
  ['1/1', 0],
  ['3/2', 0],
  ['5/4', 1],
  ['6/5', -1],
  ['25/16', 2],
  ['81/80', -1],
  ['7/4', 1],
  ['9/7', -1],
])('%s is %i commas below the chain of fifths', (text, commas) => expect(toCommas(ratio(text))).toBe(commas));

test('toCommas is the number of commas that a point was made with', () => {
  forAll([fc.integer({ min: -40, max: 40 }), fc.integer({ min: -40, max: 40 })], (fifths, commas) => {
    expect(toCommas(toPoint(fifths, commas, UNISON))).toBe(commas);
  });
});

test('toCommas is the pitch to the nearest comma, whatever the primes', () => {
  const high = fc.integer({ min: -6, max: 6 });
  const low = fc.integer({ min: -20, max: 20 });
  forAll([low, low, high, high, high], (three, five, seven, eleven, thirteen) => {
    const point = [0, three, five, seven, eleven, thirteen] as const;
    const chain = toDeviationCents([0, toFifths(point), 0, 0, 0, 0]);
    const below = (chain - toDeviationCents(point)) / toDeviationCents(ratio('81/80'));
    expect(Math.abs(toCommas(point) - below)).toBeLessThanOrEqual(0.5 + 1e-9);
  });
});
