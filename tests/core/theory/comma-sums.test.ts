import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  COMMAS,
  decomposeComma,
  formatComma,
  invert,
  multiply,
  type PrimeVector,
  power,
  ratio,
  toKeys,
  UNISON,
} from '../../../src/core/theory/index.js';
import { forAll } from '../../support/properties.js';
import { vectors } from './help.js';

/** Products of the five independent commas of the keyboard. */
const BASE = ['81/80', '531441/524288', '64/63', '45/44', '65/64'].map(ratio);
const count = fc.integer({ min: -20, max: 20 });
const commaProducts = fc
  .tuple(count, count, count, count, count)
  .map((counts) => counts.reduce((v, n, i) => multiply(v, power(BASE[i], n)), UNISON));

function product(v: PrimeVector): PrimeVector | undefined {
  return decomposeComma(v)?.reduce((sum, part) => multiply(sum, power(part.comma.ratio, part.count)), UNISON);
}

describe('decomposeComma', () => {
  test('is exact for every product of commas', () => {
    forAll([commaProducts], (v) => {
      expect(product(v)).toEqual(v);
    });
  });

  test('is exact, or undefined off the key, for anything', () => {
    forAll([vectors(6)], (v) => {
      const onKey = withOctavesOff(v);
      if (onKey) expect(product(onKey)).toEqual(onKey);
      if (toKeys(v) !== 0 && decomposeComma(v)) expect(product(v)).toEqual(v);
    });
  });

  test('has no part with count 0 or twice the same comma, and the inverse has the opposite counts', () => {
    forAll([commaProducts], (v) => {
      const parts = decomposeComma(v) ?? [];
      expect(parts.every((part) => part.count !== 0 && Number.isInteger(part.count))).toBe(true);
      expect(new Set(parts.map((part) => part.comma.name)).size).toBe(parts.length);
      const opposite = parts.map(({ comma, count }) => ({ comma, count: -count }));
      expect(decomposeComma(invert(v))).toEqual(opposite);
    });
  });

  test('never needs more 5-limit commas than any of its three bases', () => {
    forAll([count, count], (syntonic, pythagorean) => {
      const v = multiply(power(BASE[0], syntonic), power(BASE[1], pythagorean));
      const needed = (decomposeComma(v) ?? []).reduce((sum, part) => sum + Math.abs(part.count), 0);
      expect(needed).toBeLessThanOrEqual(Math.abs(syntonic) + Math.abs(pythagorean));
      expect(needed).toBeLessThanOrEqual(Math.abs(syntonic + pythagorean) + Math.abs(pythagorean));
      expect(needed).toBeLessThanOrEqual(Math.abs(syntonic + 3 * pythagorean) + Math.abs(pythagorean));
    });
  });

  test('gives every named comma as itself', () => {
    for (const comma of COMMAS) expect(decomposeComma(comma.ratio)).toEqual([{ comma, count: 1 }]);
  });

  test('is undefined for what leads to another key', () => {
    expect(decomposeComma(ratio('16/15'))).toBeUndefined();
    expect(decomposeComma(ratio('2/1'))).toBeUndefined();
  });
});

test.each([
  ['1/1', 'none'],
  ['81/80', '+1 syntonic comma'],
  ['80/81', '−1 syntonic comma'],
  ['6561/6400', '+2 syntonic commas'],
  ['2^16·3^-16·5^4', '−4 syntonic commas'],
  ['648/625', '+1 greater diesis'],
  ['125/128', '−1 lesser diesis'],
  ['16384/15625', '+2 lesser dieses'],
  ['15876/15625', '+2 commas 126/125'],
  ['5120/5103', '−1 syntonic comma, +1 septimal comma'],
  ['729/704', '+1 syntonic comma, +1 undecimal fifth-tone'],
  ['1053/1024', '+1 syntonic comma, +1 comma 65/64'],
  ['225/224', '+1 septimal kleisma'],
  // Three syntonic commas and a lesser diesis, by its own arithmetic: (81/80)^3 · 128/125.
  ['2^-5·3^12·5^-6', '+3 syntonic commas, +1 lesser diesis'],
  // Three commas either way, with schismas or with Pythagorean commas: schismas come first.
  ['2^-34·3^20·5^1', '+1 syntonic comma, +2 schismas'],
  ['16/15', 'ratio 16/15'],
  ['25/24', '+1 small chromatic semitone'],
])('formatComma writes %s as %s', (text, words) => expect(formatComma(ratio(text))).toBe(words));

/** The vector with its octaves set so that it spans no key, or undefined where octaves can't do that. */
function withOctavesOff(v: PrimeVector): PrimeVector | undefined {
  const octaves = toKeys(v) / 12;
  return Number.isInteger(octaves) ? [v[0] - octaves, v[1], v[2], v[3], v[4], v[5]] : undefined;
}
