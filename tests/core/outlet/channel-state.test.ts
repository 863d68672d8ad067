import { describe, expect, test } from 'vitest';
import { CC, RPN } from '../../../src/core/midi/index.js';
import {
  ChannelState,
  STALE,
  toDefault,
  toParameterDefault,
  UNSET,
} from '../../../src/core/outlet/channel-state.js';
import { numbers } from '../../support/numbers.js';

describe('ChannelState', () => {
  test('zeroes the low half of a controller with its high half, but never a bank', () => {
    const state = new ChannelState();
    state.setController(CC.modulation + 32, 5);
    state.setController(CC.bankLsb, 5);
    state.setController(CC.modulation, 1);
    state.setController(CC.bank, 1);
    expect([state.controllers[33], state.controllers[32]]).toEqual([0, 5]);
    state.setController(CC.volume, 90);
    expect(state.controllers[39]).toBe(UNSET);
  });

  test('remembers the bank of a program', () => {
    const state = new ChannelState();
    state.setController(CC.bank, 3);
    state.setProgram(40);
    state.setController(CC.bank, 4);
    expect([state.program, state.programBank, state.programBankLsb]).toEqual([40, 3, UNSET]);
    expect(state.controllers[CC.bank]).toBe(4);
  });

  test('doubts known values, and leaves unknown ones', () => {
    const state = new ChannelState();
    state.setController(CC.volume, 90);
    state.setProgram(7);
    state.setParameter(RPN.fineTuning, CC.dataEntry, 65);
    state.selected = RPN.fineTuning;
    state.doubt();
    expect([state.controllers[CC.volume], state.controllers[CC.pan]]).toEqual([STALE, UNSET]);
    expect([state.program, state.programBank, state.pressure]).toEqual([STALE, UNSET, UNSET]);
    expect(state.parameters.get(RPN.fineTuning)).toEqual({ msb: STALE, lsb: UNSET });
    expect(state.selected).toBe(RPN.none);
  });
});

test('a channel state forgets what was set, except for the pedals if they should stay', () => {
  const state = new ChannelState();
  const setAll = () => {
    state.setController(CC.bank, 3);
    state.setController(CC.sustain, 127);
    state.setProgram(7);
    state.setParameter(RPN.fineTuning, CC.dataEntry, 65);
    state.pressure = 9;
    state.selected = RPN.fineTuning;
  };
  setAll();
  state.forgetAllButPedals();
  const feet = new ChannelState();
  feet.setController(CC.sustain, 127);
  expect(state).toEqual(feet);
  setAll();
  state.forget();
  expect(state).toEqual(new ChannelState());
});

describe('the defaults of a channel state', () => {
  // General MIDI 2, default settings.
  test.each(
    numbers('0 0, 1 0, 7 100, 8 64, 10 64, 11 127, 64 0, 69 0, 70 64, 74 64, 79 64, 80 0, 91 40, 93 0'),
  )('give controller %d the value %d', (controller, value) => expect(toDefault(controller)).toBe(value));

  test('knows the tunings, and no unregistered parameter', () => {
    expect(toParameterDefault(RPN.fineTuning)).toEqual({ msb: 64, lsb: 0 });
    expect(toParameterDefault(RPN.tuningProgram)).toEqual({ msb: 0, lsb: 0 });
    expect(toParameterDefault(0x4001)).toBeUndefined();
  });
});
