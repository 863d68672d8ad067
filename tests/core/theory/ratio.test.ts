import { describe, expect, test } from 'vitest';
import {
  formatPower,
  formatRatio,
  type PrimeVector,
  parseRatio,
  power,
  ratio,
  toFraction,
  toProportion,
  UNISON,
} from '../../../src/core/theory/index.js';
import { forAll } from '../../support/properties.js';
import { fractionOf, vectors } from './help.js';

test.each<[string, PrimeVector]>([
  ['1/1', [0, 0, 0, 0, 0, 0]],
  ['3', [0, 1, 0, 0, 0, 0]],
  ['7/4', [-2, 0, 0, 1, 0, 0]],
  ['5:4', [-2, 0, 1, 0, 0, 0]],
  [' 27 / 20 ', [-2, 3, -1, 0, 0, 0]],
  ['54/40', [-2, 3, -1, 0, 0, 0]],
  ['34/17', [1, 0, 0, 0, 0, 0]],
  ['13/11', [0, 0, 0, 0, -1, 1]],
  ['2^-400·3^400·5^-100', [-400, 400, -100, 0, 0, 0]],
  ['2^3·2^-1·2^2', [4, 0, 0, 0, 0, 0]],
  ['2^3*7^-1', [3, 0, 0, -1, 0, 0]],
])('parseRatio reads %s', (text, vector) => expect(parseRatio(text)).toEqual({ ok: true, value: vector }));

test.each([
  ['', 'RATIO_TEXT', '""'],
  ['-3/2', 'RATIO_TEXT', '-3/2'],
  ['1.5', 'RATIO_TEXT', '1.5'],
  ['3/2/1', 'RATIO_TEXT', '3/2/1'],
  ['3/', 'RATIO_TEXT', '3/'],
  ['0', 'RATIO_ZERO', 'zero'],
  ['3/0', 'RATIO_ZERO', 'zero'],
  ['17/16', 'RATIO_PRIME', 'the prime 17'],
  ['24/19', 'RATIO_PRIME', 'the prime 19'],
  ['289/288', 'RATIO_PRIME', 'the prime 17'],
  ['994009/2', 'RATIO_PRIME', 'the prime 997'],
  ['1009', 'RATIO_PRIME', 'the prime 1009'],
  ['1022117/2', 'RATIO_PRIME', 'the factor 1022117'],
  ['2^2·6^1', 'RATIO_PRIME', 'powers of 6'],
  ['2^2·', 'RATIO_TEXT', '2^2·'],
  ['9'.repeat(200), 'RATIO_LONG', '200 characters'],
])('parseRatio refuses %s with %s', (text, code, words) => {
  const outcome = parseRatio(text);
  if (outcome.ok) throw new Error(`${text} was read`);
  expect(outcome.problem.code).toBe(code);
  expect(outcome.problem.message).toContain(words);
  expect(outcome.problem.advice).not.toBe('');
});

test('ratio is frozen and refuses a wrong literal', () => {
  expect(ratio('81/80')).toEqual([-4, 4, -1, 0, 0, 0]);
  expect(Object.isFrozen(ratio('81/80'))).toBe(true);
  expect(() => ratio('17/16')).toThrow(RangeError);
});

describe('formatRatio', () => {
  test.each<[PrimeVector, string]>([
    [[0, 0, 0, 0, 0, 0], '1/1'],
    [[1, 0, 0, 0, 0, 0], '2/1'],
    [[4, -4, 1, 0, 0, 0], '80/81'],
    [[-19, 12, 0, 0, 0, 0], '531441/524288'],
    // 2^79 is the last power of two with 24 digits.
    [[79, 0, 0, 0, 0, 0], '604462909807314587353088/1'],
    [[80, 0, 0, 0, 0, 0], '2^80'],
    [[-80, 0, 0, 0, 0, 0], '2^-80'],
    [[-400, 400, -100, 0, 0, 0], '2^-400·3^400·5^-100'],
  ])('writes %j as %s', (vector, text) => expect(formatRatio(vector)).toBe(text));

  test('agrees with fraction.js, and parseRatio reads it back', () => {
    forAll([vectors(5)], (v) => {
      const { n, d } = fractionOf(v);
      if (`${n}`.length <= 24 && `${d}`.length <= 24) expect(formatRatio(v)).toBe(`${n}/${d}`);
      expect(parseRatio(formatRatio(v))).toEqual({ ok: true, value: v });
    });
  });

  test('can be read back at any size', () => {
    forAll([vectors(999_999)], (v) => {
      expect(parseRatio(formatRatio(v))).toEqual({ ok: true, value: v });
    });
  });
});

test('toFraction agrees with fraction.js', () => {
  forAll([vectors(30)], (v) => {
    const { numerator, denominator } = toFraction(v);
    expect([numerator, denominator]).toEqual([fractionOf(v).n, fractionOf(v).d]);
  });
});

test.each([
  ['1/1 5/4 3/2', '4:5:6'],
  ['1/1 2/1', '1:2'],
  ['5/4 3/2 2/1', '5:6:8'],
  ['5/6 1/1 5/4', '10:12:15'],
  ['1/1 5/4 3/2 7/4', '4:5:6:7'],
])('the proportion of %s is %s', (ratios, proportion) =>
  expect(toProportion(ratios.split(' ').map(ratio))).toBe(proportion),
);

test('a single note has no proportion, and neither has one beyond three figures', () => {
  expect(toProportion([UNISON])).toBeUndefined();
  expect(toProportion([UNISON, ratio('2187/2048')])).toBeUndefined();
});

test('formatPower writes a power of a ratio as a power', () => {
  expect(formatPower(power(ratio('80/81'), 12))).toBe('(80/81)¹²');
  expect(formatPower(ratio('6400/6561'))).toBe('(80/81)²');
  expect(formatPower(ratio('2^-48·3^48·5^-12'))).toBe('(81/80)¹²');
  expect(formatPower(ratio('128/125'))).toBe('128/125');
  expect(formatPower(ratio('80/81'))).toBe('80/81');
  expect(formatPower(UNISON)).toBe('1/1');
});
