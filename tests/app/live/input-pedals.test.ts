import { expect, test } from 'vitest';
import { isHoldingPedal } from '../../../src/app/live/input-pedals.js';

test.each([
  [0xb3, 64, true],
  [0xb0, 66, true],
  [0xb0, 69, true],
  [0xb0, 67, false],
  [0x90, 64, false],
])('whether the message %i %i moves a pedal that holds notes: %s', (status, data1, holds) => {
  expect(isHoldingPedal(status, data1)).toBe(holds);
});
