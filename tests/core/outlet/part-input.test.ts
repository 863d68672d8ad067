import { expect, test } from 'vitest';
import { CC, RPN } from '../../../src/core/midi/index.js';
import { ChannelState } from '../../../src/core/outlet/channel-state.js';
import { PartInput } from '../../../src/core/outlet/part-input.js';

test('PartInput scales the wheel by the range of the input, semitones and cents', () => {
  const input = new PartInput(new ChannelState());
  expect(input.bendCents()).toBe(0);
  input.wheel = 12288;
  expect(input.bendCents()).toBe(100);
  input.setBendRange(CC.dataEntry, 12);
  expect(input.bendCents()).toBe(600);
  input.setBendRange(CC.dataEntryLsb, 50);
  expect(input.bendCents()).toBe(625);
  input.wheel = 0;
  expect(input.bendCents()).toBe(-1250);
});

test('PartInput resets wheel and selection, not the range', () => {
  const input = new PartInput(new ChannelState());
  input.setBendRange(CC.dataEntry, 12);
  input.parameter.take(CC.rpnMsb, 0);
  input.parameter.take(CC.rpnLsb, 1);
  input.wheel = 16000;
  input.reset();
  expect([input.bendCents(), input.parameter.selected]).toEqual([0, RPN.none]);
  input.wheel = 12288;
  expect(input.bendCents()).toBe(600);
});
