import { expect, test } from 'vitest';
import { KeyTunings } from '../../../src/core/sound/key-tunings.js';

function open() {
  const tunings = new KeyTunings();
  return { tunings, take: (...bytes: number[]) => tunings.take(Uint8Array.from(bytes)) };
}

test('a key is in 12 equal until a change tunes it, under its program alone', () => {
  const { tunings, take } = open();
  expect(tunings.centsOf(0, 64)).toBe(6400);
  // MIDI Tuning Updated Specification: F0 7F device 08 02 program count [key semitone fraction] F7.
  expect(take(0xf0, 0x7f, 0x7f, 8, 2, 3, 2, 64, 63, 64, 0, 65, 127, 127, 127, 0xf7)).toBe(3);
  expect([64, 65].map((key) => tunings.centsOf(3, key))).toEqual([6350, 6500]);
  expect(tunings.centsOf(0, 64)).toBe(6400);
});

test('the smallest step of the fraction is 100/16384 cent', () => {
  const { tunings, take } = open();
  take(0xf0, 0x7f, 0x7f, 8, 2, 0, 1, 60, 60, 0, 1, 0xf7);
  expect(tunings.centsOf(0, 60)).toBe(6000 + 100 / 16384);
});

test.each([0x7e, 0x7f])('a tuning message with a bank is read in either kind (%i)', (kind) => {
  const { tunings, take } = open();
  expect(take(0xf0, kind, 0x7f, 8, 7, 0, 5, 1, 64, 62, 0, 0, 0xf7)).toBe(5);
  expect(tunings.centsOf(5, 64)).toBe(6200);
});

test('a tuning message cut short counts as far as it goes', () => {
  const { tunings, take } = open();
  expect(take(0xf0, 0x7f, 0x7f, 8, 2, 0, 5, 64, 63, 0, 0, 0xf7)).toBe(0);
  expect(tunings.centsOf(0, 64)).toBe(6300);
});

test('a tuning message of another kind is counted, another message is not', () => {
  const { tunings, take } = open();
  expect(take(0xf0, 0x7e, 0x7f, 8, 8, 3, 127, 127, ...new Array(12).fill(64), 0xf7)).toBeUndefined();
  expect(take(0xf0, 0x7f, 0x7f, 4, 1, 0, 100, 0xf7)).toBeUndefined();
  expect(take(0xf8)).toBeUndefined();
  expect(tunings.unknown).toBe(1);
});

test('every key is in 12 equal again after clearing', () => {
  const { tunings, take } = open();
  take(0xf0, 0x7f, 0x7f, 8, 2, 0, 1, 64, 63, 0, 0, 0xf7);
  tunings.clear();
  expect(tunings.centsOf(0, 64)).toBe(6400);
});
