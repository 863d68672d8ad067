import { expect, it } from 'vitest';
import { toIntervalClass, toKeyClass } from '../../../src/core/theory/vector.js';

it.each([
  [0, 0],
  [11, 11],
  [12, 0],
  [-1, 11],
  [-13, 11],
  [127, 7],
])('key class of %i is %i', (keys, keyClass) => {
  expect(toKeyClass(keys)).toBe(keyClass);
});

it('an interval and its inversion are of one class, 0 to 6', () => {
  expect(Array.from({ length: 13 }, (_, keys) => toIntervalClass(keys))).toEqual([
    0, 1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1, 0,
  ]);
  expect(toIntervalClass(-7)).toBe(5);
});
