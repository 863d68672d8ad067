import { expect, test } from 'vitest';
import {
  formatCents,
  formatPower,
  formatSigned,
  power,
  ratio,
  UNISON,
} from '../../../src/core/theory/index.js';

test.each([
  [-21.506, '−21.5 c'],
  [1.955, '+2.0 c'],
  [0.04, '0.0 c'],
  [-0.04, '0.0 c'],
])('%d cents are written %s', (cents, words) => {
  expect(formatCents(cents)).toBe(words);
  expect(`${formatSigned(cents)} c`).toBe(words);
});

test('a power of a ratio is written as one', () => {
  expect(formatPower(power(ratio('80/81'), 12))).toBe('(80/81)¹²');
  expect(formatPower(ratio('80/81'))).toBe('80/81');
  expect(formatPower(UNISON)).toBe('1/1');
});
