import { expect, test } from 'vitest';
import { dataLength, isNoteOff, isNoteOn } from '../../../src/core/midi/index.js';
import { numbers } from '../../support/numbers.js';

// MIDI 1.0 Detailed Specification 4.2.1, Tables I, II, V and VI
test.each(
  numbers(`0x80 2, 0x9f 2, 0xa0 2, 0xb1 2, 0xc5 1, 0xdf 1, 0xe0 2, 0xf0 0, 0xf1 1, 0xf2 2, 0xf3 1, 0xf4 0,
  0xf6 0, 0xf7 0, 0xf8 0, 0xff 0`),
)('status %i is followed by %i data bytes', (status, length) => expect(dataLength(status)).toBe(length));

test.each([
  [0x93, 1, true, false],
  [0x93, 127, true, false],
  [0x93, 0, false, true],
  [0x83, 64, false, true],
  [0x80, 0, false, true],
  [0xa3, 64, false, false],
  [0xb0, 0, false, false],
])('status %i with velocity %i is a note-on: %s, a note-off: %s', (status, velocity, on, off) => {
  expect(isNoteOn(status, velocity)).toBe(on);
  expect(isNoteOff(status, velocity)).toBe(off);
});
