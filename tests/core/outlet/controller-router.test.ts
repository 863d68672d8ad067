import { describe, expect, test } from 'vitest';
import { CC } from '../../../src/core/midi/index.js';
import { ChannelState } from '../../../src/core/outlet/channel-state.js';
import { ControllerRouter, SharedPedals } from '../../../src/core/outlet/controller-router.js';
import { createControllerChannel } from '../../../src/core/outlet/member.js';
import { messages } from '../../support/midi-bytes.js';
import { SynthModel } from '../../support/synth-model.js';

type Message = [status: number, data1: number, data2: number];

/** Two channels, on channels 0 and 1; `say` returns what a part's message sends. */
function setUp(common?: ChannelState) {
  const synth = new SynthModel();
  const channels = [createControllerChannel(0), createControllerChannel(1)];
  const router = new ControllerRouter(synth, channels, common);
  const say = (part: number, ...messages: Message[]): number[][] =>
    synth.during(() => {
      for (const [status, data1, data2] of messages) router.control(part, status, data1, data2);
    });
  return { synth, channels, router, say };
}

const select = (rpn: number): Message[] => [
  [0xb9, 101, rpn >> 7],
  [0xb9, 100, rpn & 0x7f],
];

describe('ControllerRouter', () => {
  test('sends the first part to unclaimed channels, and another part to its channels only', () => {
    const { channels, say } = setUp();
    expect(say(3, [0xb3, 7, 90])).toEqual(messages('0xb0 7 90, 0xb1 7 90'));
    expect(say(5, [0xc5, 19, 0])).toEqual([]);
    channels[1].part = 5;
    expect(say(5, [0xc5, 20, 0])).toEqual([[0xc1, 20]]);
    expect(say(3, [0xd3, 44, 0])).toEqual([[0xd0, 44]]);
  });

  test('sends every part to every shared channel, with separate wheels', () => {
    const common = new ChannelState();
    const { router, say } = setUp(common);
    say(0, [0xb0, 7, 90]);
    expect(say(5, [0xc0, 19, 0]).length).toBe(2);
    expect([common.controllers[7], common.program]).toEqual([90, 19]);
    say(5, [0xe5, 0, 96]);
    expect([router.part(5).bendCents(), router.part(0).bendCents()]).toEqual([100, 0]);
  });

  test('passes a live change even if it changes nothing', () => {
    const { say } = setUp();
    say(0, [0xc0, 19, 0]);
    expect(say(0, [0xc0, 19, 0]).length).toBe(2);
  });

  test('does not send the bend range of the input', () => {
    const { router, say } = setUp();
    expect(say(0, ...select(0), [0xb0, 6, 12], [0xb0, 38, 0], [0xb0, 96, 0], ...select(0x3fff))).toEqual([]);
    say(0, [0xe0, 0, 96]);
    expect(router.part(0).bendCents()).toBe(600);
  });

  test('does not let the input configure the zone', () => {
    const { say } = setUp(new ChannelState());
    expect(say(0, ...select(6), [0xb0, 6, 5])).toEqual([]);
  });

  test('passes other parameters whole and in order', () => {
    const { channels, say } = setUp();
    channels[1].part = 9;
    expect(say(0, ...select(1), [0xb0, 6, 65], [0xb0, 38, 3], [0xb0, 96, 0], ...select(0x3fff))).toEqual(
      messages('0xb0 101 0, 0xb0 100 1, 0xb0 6 65, 0xb0 38 3, 0xb0 96 0, 0xb0 101 127, 0xb0 100 127'),
    );
    expect(say(0, [0xb0, 6, 3])).toEqual([]);
  });

  test('separates the parameter selections of two parts on one channel', () => {
    const { synth, say } = setUp(new ChannelState());
    say(0, ...select(1));
    say(1, [0xb1, 99, 1], [0xb1, 98, 2], [0xb1, 6, 77]);
    say(0, [0xb0, 6, 65]);
    say(1, [0xb1, 38, 5]);
    expect(synth.channels[0].fineCents).toBeCloseTo((100 * 128) / 8192, 9);
    expect(synth.channels[0].nrpns.get(130)).toEqual([77, 5]);
  });

  test.each([
    [120, [0xb0, 120, 0]],
    [122, [0xb0, 122, 0]],
    [123, [0xb0, 123, 0]],
    [124, [0xb0, 123, 0]],
    [125, [0xb0, 123, 0]],
    [126, [0xb0, 123, 0]],
    [127, [0xb0, 123, 0]],
  ])('passes mode message %d in a form that does not change the channel mode', (controller, expected) => {
    const { channels, say } = setUp();
    channels[1].part = 9;
    expect(say(0, [0xb0, controller, controller === 126 ? 4 : 0])).toEqual([expected]);
  });

  test('sends Reset All Controllers as single messages, without the bend, and once', () => {
    const { synth, channels, router, say } = setUp();
    channels[1].part = 9;
    say(0, [0xb0, 64, 127], [0xb0, 1, 0], [0xb0, 33, 9], [0xd0, 50, 0], [0xb0, 7, 20], [0xe0, 0, 96]);
    synth.channel(0xe0, 0, 50);
    say(0, [0xb0, 121, 0]);
    const { controllers, pressure, bend } = synth.channels[0];
    expect([controllers[64], controllers[33], controllers[11], pressure, controllers[7], bend]).toEqual([
      0, 0, 127, 0, 20, 6400,
    ]);
    expect(router.part(0).bendCents()).toBe(0);
    expect(say(0, [0xb0, 121, 0])).toEqual([]);
  });
});

test('a shared pedal stays down until the last part has lifted it, as far as its deepest foot', () => {
  const pedals = new SharedPedals();
  expect(pedals.set(2, CC.sustain, 80)).toBe(80);
  expect(pedals.set(0, CC.sustain, 127)).toBe(127);
  expect(pedals.set(0, CC.sustain, 10)).toBe(80);
  expect(pedals.set(2, CC.sustain, 0)).toBe(10);
  expect(pedals.set(0, CC.sustain, 0)).toBe(0);
});

test('shared pedals are separate, and controllers that hold no notes are not shared', () => {
  const pedals = new SharedPedals();
  pedals.set(0, CC.sustain, 127);
  expect(pedals.set(1, CC.sostenuto, 0)).toBe(0);
  expect(pedals.set(1, CC.hold2, 90)).toBe(90);
  pedals.set(0, CC.soft, 127);
  expect(pedals.set(1, CC.soft, 0)).toBe(0);
  pedals.set(0, CC.volume, 127);
  expect(pedals.set(1, CC.volume, 20)).toBe(20);
});
