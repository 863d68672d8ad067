import { describe, expect, test } from 'vitest';
import { CC, RPN } from '../../../src/core/midi/index.js';
import { ChannelState } from '../../../src/core/outlet/channel-state.js';
import {
  bringTo,
  liftPedals,
  sendController,
  sendParameter,
  sendProgram,
} from '../../../src/core/outlet/controller-channel.js';
import { createControllerChannel } from '../../../src/core/outlet/member.js';
import { messages } from '../../support/midi-bytes.js';
import { SynthModel } from '../../support/synth-model.js';

function setUp() {
  const synth = new SynthModel();
  const channel = createControllerChannel(2);
  const wanted = new ChannelState();
  const bring = (): number[][] => synth.during(() => bringTo(synth, channel, wanted));
  return { synth, channel, wanted, bring };
}

describe('bringTo', () => {
  test('sends what was set, bank and program first, and nothing twice', () => {
    const { wanted, bring } = setUp();
    wanted.setController(CC.volume, 80);
    wanted.setController(CC.bank, 1);
    wanted.setProgram(19);
    wanted.pressure = 12;
    wanted.setController(CC.sustain, 127);
    expect(bring()).toEqual(messages('0xb2 0 1, 0xb2 32 0, 0xc2 19, 0xb2 7 80, 0xb2 64 127, 0xd2 12'));
    expect(bring()).toEqual([]);
    wanted.setController(CC.volume, 81);
    expect(bring()).toEqual([[0xb2, 7, 81]]);
  });

  test('sends no bank where none was chosen', () => {
    const { wanted, bring } = setUp();
    wanted.setProgram(19);
    expect(bring()).toEqual([[0xc2, 19]]);
  });

  test('leaves the program in its bank though another bank waits for the next', () => {
    const { synth, wanted, bring } = setUp();
    wanted.setController(CC.bank, 1);
    wanted.setProgram(19);
    wanted.setController(CC.bank, 5);
    bring();
    expect([synth.channels[2].program, synth.channels[2].bank, synth.channels[2].controllers[0]]).toEqual([
      19, 1, 5,
    ]);
    expect(bring()).toEqual([]);
  });

  test('resets to the default what the channel has and the part never set', () => {
    const { synth, channel, bring } = setUp();
    sendController(synth, channel, CC.volume, 30);
    sendController(synth, channel, CC.sustain, 127);
    sendProgram(synth, channel, 5);
    expect(bring()).toEqual(messages('0xc2 0, 0xb2 7 100, 0xb2 64 0'));
    expect(bring()).toEqual([]);
  });

  test('brings both halves of a controller, though the high one zeroes the low one', () => {
    const { synth, channel, wanted, bring } = setUp();
    sendController(synth, channel, 1, 10);
    sendController(synth, channel, 33, 7);
    wanted.setController(1, 11);
    wanted.setController(33, 7);
    bring();
    expect([synth.channels[2].controllers[1], synth.channels[2].controllers[33]]).toEqual([11, 7]);
  });

  test('brings parameters in the order they were set, tunings back to none, and closes', () => {
    const { synth, channel, wanted, bring } = setUp();
    sendParameter(synth, channel, RPN.coarseTuning, CC.dataEntry, 70);
    wanted.setParameter(0x4000 | 130, CC.dataEntry, 9);
    wanted.setParameter(RPN.fineTuning, CC.dataEntry, 65);
    wanted.setParameter(RPN.fineTuning, CC.dataEntryLsb, 3);
    expect(bring().filter(([, controller]) => controller < 98)).toEqual(
      messages('0xb2 6 9, 0xb2 6 65, 0xb2 38 3, 0xb2 6 64, 0xb2 38 0'),
    );
    const { nrpns, coarseCents, parameterKind } = synth.channels[2];
    expect([nrpns.get(130), coarseCents, parameterKind]).toEqual([[9, 0], 0, 'none']);
    expect(bring()).toEqual([]);
  });

  test('sends everything again to a receiver in doubt', () => {
    const { channel, wanted, bring } = setUp();
    wanted.setProgram(19);
    wanted.setParameter(RPN.fineTuning, CC.dataEntry, 65);
    const first = bring();
    channel.state.doubt();
    expect(bring()).toEqual(first);
  });
});

test('liftPedals lifts all four pedals, whether they are known to be down or not', () => {
  const { synth, channel } = setUp();
  liftPedals(synth, channel);
  expect(synth.log).toEqual([64, 66, 67, 69].map((pedal) => [0xb2, pedal, 0]));
});

test('half a parameter is sent without the other half', () => {
  const { synth, channel, wanted } = setUp();
  wanted.parameters.set(5, { msb: -1, lsb: 12 });
  bringTo(synth, channel, wanted);
  expect(synth.log).toEqual(messages('0xb2 101 0, 0xb2 100 5, 0xb2 38 12, 0xb2 101 127, 0xb2 100 127'));
});
