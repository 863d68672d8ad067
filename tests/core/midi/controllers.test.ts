import { expect, test } from 'vitest';
import { CC, HOLDING_PEDALS, liftsAllKeys, RESET_TO_ZERO } from '../../../src/core/midi/index.js';

// Numbers as in the standard's Table III, Channel Mode Messages, and in RP-015.
test('controllers 123 to 127 lift all keys, and no other controller does', () => {
  const lifting = Array.from({ length: 128 }, (_, controller) => controller).filter(liftsAllKeys);
  expect(lifting).toEqual([123, 124, 125, 126, 127]);
});

test('Reset All Controllers turns modulation and the pedals off, those that hold notes among them', () => {
  expect(RESET_TO_ZERO).toEqual([1, 64, 65, 66, 67, 68, 69]);
  expect(HOLDING_PEDALS.every((pedal) => RESET_TO_ZERO.includes(pedal))).toBe(true);
  expect(RESET_TO_ZERO).not.toContain(CC.volume);
});
