import { expect, test } from 'vitest';
import { InputPedals, isHoldingPedal } from '../../../src/app/live/input-pedals.js';

test('a pedal of several parts is as far down as the one that is down farthest', () => {
  const pedals = new InputPedals();
  expect(pedals.set(0, { part: 0, controller: 64, value: 90 })).toBe(90);
  expect(pedals.set(0, { part: 17, controller: 64, value: 127 })).toBe(127);
  expect(pedals.set(0, { part: 17, controller: 64, value: 0 })).toBe(90);
  expect(pedals.set(1, { part: 17, controller: 64, value: 0 })).toBe(0);
});

test('of the pedals of other channels those are remembered that are down', () => {
  const pedals = new InputPedals();
  pedals.keep({ part: 17, controller: 64, value: 127 });
  pedals.keep({ part: 17, controller: 66, value: 127 });
  pedals.keep({ part: 17, controller: 64, value: 0 });
  expect(pedals.downOn(3)).toEqual([{ part: 17, controller: 66, value: 127 }]);
  pedals.keep({ part: 18, controller: 64, value: 127, only: 2 });
  expect([pedals.downOn(2).length, pedals.downOn(3).length]).toEqual([2, 1]);
});

test.each([
  [0xb3, 64, true],
  [0xb0, 66, true],
  [0xb0, 69, true],
  [0xb0, 67, false],
  [0x90, 64, false],
])('whether the message %i %i moves a pedal that holds notes: %s', (status, data1, holds) => {
  expect(isHoldingPedal(status, data1)).toBe(holds);
});
