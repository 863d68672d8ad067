import { expect, test } from 'vitest';
import { toHertz } from '../../../src/core/theory/index.js';

test('key 69 is 440 Hz, and an octave is twice that', () => {
  expect(toHertz(6900)).toBe(440);
  expect(toHertz(8100)).toBe(880);
});
