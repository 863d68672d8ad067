import { expect, test } from 'vitest';
import { CC } from '../../../src/core/midi/index.js';
import { SharedPedals } from '../../../src/core/outlet/controller-router.js';

test('a pedal stays down until the last part has lifted it, and as far as the farthest', () => {
  const pedals = new SharedPedals();
  expect(pedals.set(2, CC.sustain, 80)).toBe(80);
  expect(pedals.set(0, CC.sustain, 127)).toBe(127);
  expect(pedals.set(0, CC.sustain, 10)).toBe(80);
  expect(pedals.set(2, CC.sustain, 0)).toBe(10);
  expect(pedals.set(0, CC.sustain, 0)).toBe(0);
});

test('pedals stay apart, and what holds no notes is the part’s own', () => {
  const pedals = new SharedPedals();
  pedals.set(0, CC.sustain, 127);
  expect(pedals.set(1, CC.sostenuto, 0)).toBe(0);
  expect(pedals.set(1, CC.hold2, 90)).toBe(90);
  pedals.set(0, CC.soft, 127);
  expect(pedals.set(1, CC.soft, 0)).toBe(0);
  pedals.set(0, CC.volume, 127);
  expect(pedals.set(1, CC.volume, 20)).toBe(20);
});
