import { expect, test } from 'vitest';
import { toHertz } from '../../../src/page/sound/instrument.js';

test('hertz of a pitch', () => {
  expect(toHertz(6900)).toBe(440);
  expect(toHertz(8100)).toBe(880);
});
