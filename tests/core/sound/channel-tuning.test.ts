import { expect, test } from 'vitest';
import { RPN } from '../../../src/core/midi/index.js';
import { ChannelTuning } from '../../../src/core/sound/channel-tuning.js';

test("a channel's bend counts by its range: 2 semitones at first, then semitones and cents as entered", () => {
  const tuning = new ChannelTuning();
  expect(tuning.ownCents).toBe(0);
  tuning.bend = 12288;
  expect(tuning.ownCents).toBe(100);
  tuning.enterRange(true, 12);
  tuning.enterRange(false, 50);
  expect(tuning.ownCents).toBe(625);
  tuning.enterRange(true, 48);
  expect(tuning.rangeCents).toBe(4850);
  // There are 99 cents in a semitone besides it; more makes no sense.
  tuning.enterRange(false, 127);
  expect(tuning.rangeCents).toBe(4899);
});

test('a channel has fine tuning to the last of 14 bits, in either order of the halves, and coarse in semitones', () => {
  const tuning = new ChannelTuning();
  tuning.enter(RPN.fineTuning, true, 0x40);
  tuning.enter(RPN.fineTuning, false, 1);
  expect(tuning.ownCents).toBeCloseTo(100 / 8192, 12);
  tuning.enter(RPN.fineTuning, true, 0x7f);
  expect(tuning.ownCents).toBeCloseTo((100 * (0x3f81 - 8192)) / 8192, 12);
  tuning.enter(RPN.fineTuning, true, 0);
  tuning.enter(RPN.fineTuning, false, 0);
  expect(tuning.ownCents).toBe(-100);
  tuning.enter(RPN.coarseTuning, true, 63);
  expect(tuning.ownCents).toBe(-200);
});

test('the low half of a one-byte parameter changes no tuning, nor does another parameter', () => {
  const tuning = new ChannelTuning();
  tuning.enter(RPN.coarseTuning, false, 5);
  tuning.enter(RPN.tuningProgram, false, 5);
  tuning.enter(RPN.tuningBank, true, 5);
  tuning.enter(RPN.none, true, 5);
  expect([tuning.ownCents, tuning.tuningProgram]).toEqual([0, 0]);
  tuning.enter(RPN.tuningProgram, true, 5);
  expect(tuning.tuningProgram).toBe(5);
});
