import { expect, test } from 'vitest';
import { count, formatFromHome, formatSeconds, formatSize } from '../../../src/cli/words/numbers.js';
import { formatCents, formatSigned } from '../../../src/core/theory/cents.js';

test.each([
  [-21.506, '−21.5 c'],
  [1.955, '+2.0 c'],
  [0, '0.0 c'],
  [-0.04, '0.0 c'],
  [-0.05, '−0.1 c'],
  [1200, '+1200.0 c'],
])('formatCents %f', (cents, text) => {
  expect(formatCents(cents)).toBe(text);
  expect(`${formatSigned(cents)} c`).toBe(text);
});

test('a size has no sign', () => {
  expect([formatSize(-21.506), formatSize(0)]).toEqual(['21.5 c', '0.0 c']);
});

test.each([
  [0, 3, '0.000 s'],
  [2.5, 3, '2.500 s'],
  [59.94, 1, '59.9 s'],
  [59.96, 1, '1 min 0.0 s'],
  [75.25, 1, '1 min 15.3 s'],
  [3600, 1, '60 min 0.0 s'],
  [35_999, 1, '599 min 59.0 s'],
  [533_330, 1, '148 h 8 min'],
])('formatSeconds %f to %i digits', (seconds, digits, text) => {
  expect(formatSeconds(seconds, digits)).toBe(text);
});

test.each([
  [-7.26, '7.3 c below home'],
  [8, '8.0 c above home'],
  [0.04, 'at home'],
])('formatFromHome %f', (cents, text) => {
  expect(formatFromHome(cents)).toBe(text);
});

test('count', () => {
  expect([0, 1, 2].map((number) => count(number, 'note'))).toEqual(['0 notes', '1 note', '2 notes']);
});
