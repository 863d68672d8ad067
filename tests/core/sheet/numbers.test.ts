import { expect, test } from 'vitest';
import { formatNumbers } from '../../../src/core/sheet/numbers.js';

test.each([
  [[1], '1'],
  [[1, 2], '1–2'],
  [[1, 4, 5, 6, 9], '1, 4–6, 9'],
])('numbers %j are written %s', (numbers, words) => {
  expect(formatNumbers(numbers)).toBe(words);
});
