import { describe, expect, test } from 'vitest';
import { InputZones, restFingers } from '../../../src/app/live/input-zones.js';
import { Line } from '../../../src/core/line/index.js';
import { createTuner, DEFAULT_SETTINGS } from '../../../src/core/tuner/index.js';
import { MpeKeys } from '../../support/mpe-keys.js';
import { openMpe } from '../../support/outlets.js';

/** Zones, and a keyboard that plays to them; `left` is what came of each message. */
function setUp(setting: ConstructorParameters<typeof InputZones>[0]) {
  const zones = new InputZones(setting);
  const left: ReturnType<InputZones['take']>[] = [];
  const play = (status: number, data1: number, data2 = 0) => left.push(zones.take(status, data1, data2));
  return { zones, left, keys: new MpeKeys((...[status, data1, data2]) => play(status, data1, data2)) };
}

describe('a configuration message', () => {
  test('names the channels that belong elsewhere now, as they were', () => {
    const { left, keys } = setUp('lower');
    keys.configure(13);
    expect(left).toEqual([
      undefined,
      undefined,
      [
        { channel: 14, manager: 0, finger: 14 },
        { channel: 15, manager: 0, finger: 15 },
      ],
    ]);
  });

  test('to the same zone names none', () => {
    const { left, keys } = setUp('lower');
    keys.configure(15);
    expect(left.at(-1)).toEqual([]);
  });

  test('is ignored where the input has no zones', () => {
    const { zones, left, keys } = setUp('off');
    keys.configure(15);
    expect(left).toEqual([undefined, undefined, undefined]);
    expect(zones.managerOf(3)).toBe(3);
  });
});

test('a reset brings the zones of the setting back, and the usual bend range', () => {
  const { zones, keys } = setUp('auto');
  keys.configure(15);
  keys.range(3, 24);
  expect([zones.managerOf(3), zones.rangeOf(0)]).toEqual([0, { semitones: 24, cents: 0 }]);
  zones.reset();
  expect([zones.managerOf(3), zones.rangeOf(0)]).toEqual([3, undefined]);
});

test('a configuration message brings back the usual range of its own zone alone', () => {
  const zones = new InputZones('both');
  const take = (status: number, data1: number, data2 = 0) => zones.take(status, data1, data2);
  const hands = ([0, 15] as const).map(
    (manager) => new MpeKeys((...[status, data1, data2]) => take(status, data1, data2), manager),
  );
  for (const hand of hands) hand.range(2, 12);
  hands[0].configure(7);
  expect([zones.rangeOf(0), zones.rangeOf(15)]).toEqual([undefined, { semitones: 12, cents: 0 }]);
});

test('fingers at rest neither bend nor press', () => {
  const { outlet, synth } = openMpe();
  const line = new Line(createTuner(DEFAULT_SETTINGS), () => [outlet]);
  line.message(0, 0, 0xe1, 0, 80, 1);
  line.message(0, 0, 0xd1, 40, 0, 1);
  restFingers(line, 0, 0);
  line.message(0, 0, 0x91, 60, 80, 1);
  expect(synth.centsOf(synth.voices[0])).toBeCloseTo(6000, 0);
  expect(synth.channels[synth.voices[0].channel].pressure).toBe(0);
});
