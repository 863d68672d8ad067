import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MpeZones } from '../../../src/core/midi/index.js';
import { forAll } from '../../support/properties.js';
import { SynthModel } from '../../support/synth-model.js';

/** The manager of each channel, by channel; the channel itself where it is in no zone. */
const managersOf = (zones: MpeZones): number[] =>
  Array.from({ length: 16 }, (_, channel) => zones.managerOf(channel));

/** Sends the configuration message of a manager. @returns what each of its messages was taken for */
function configure(zones: MpeZones, manager: number, members: number): boolean[] {
  const status = 0xb0 | manager;
  return [
    [101, 0],
    [100, 6],
    [6, members],
    [101, 127],
    [100, 127],
  ].map(([controller, value]) => zones.take(status, controller, value));
}

const NONE = Array.from({ length: 16 }, (_, channel) => channel);
const lower = (members: number): number[] => NONE.map((_, channel) => (channel <= members ? 0 : channel));
const upper = (members: number): number[] =>
  NONE.map((_, channel) => (channel >= 15 - members ? 15 : channel));

describe('zones before any message', () => {
  test.each([
    ['none', NONE],
    ['lower', lower(15)],
    ['upper', upper(15)],
    ['both', NONE.map((_, channel) => (channel < 8 ? 0 : 15))],
  ] as const)('of the setting %s are these', (setting, managers) => {
    expect(managersOf(new MpeZones(setting))).toEqual(managers);
  });
});

describe('a configuration message', () => {
  test.each([
    ['of channel 1 makes the lower zone', [[0, 15]], lower(15)],
    ['of channel 16 makes the upper zone', [[15, 4]], upper(4)],
    [
      'with fewer members shrinks its zone',
      [
        [0, 15],
        [0, 3],
      ],
      lower(3),
    ],
    [
      'without members ends its zone',
      [
        [0, 7],
        [0, 0],
      ],
      NONE,
    ],
    [
      'without members leaves the other zone alone',
      [
        [15, 15],
        [0, 0],
      ],
      upper(15),
    ],
    [
      'that overlaps the other zone shrinks that',
      [
        [15, 7],
        [0, 10],
      ],
      NONE.map((_, i) => (i <= 10 ? 0 : 15)),
    ],
    [
      'that leaves the other zone no member ends it',
      [
        [15, 7],
        [0, 14],
      ],
      lower(14),
    ],
    [
      'over all channels ends the other zone',
      [
        [0, 7],
        [15, 15],
      ],
      upper(15),
    ],
    [
      'with too many members changes nothing',
      [
        [0, 7],
        [0, 16],
      ],
      lower(7),
    ],
    ['of any other channel changes nothing', [[3, 7]], NONE],
  ] as const)('%s', (_, sent, managers) => {
    const zones = new MpeZones();
    for (const [manager, members] of sent) configure(zones, manager, members);
    expect(managersOf(zones)).toEqual(managers);
  });

  test('takes effect at its data entry, and only there', () => {
    expect(configure(new MpeZones(), 0, 15)).toEqual([false, false, true, false, false]);
  });

  test('needs its own parameter to be selected', () => {
    const zones = new MpeZones();
    zones.take(0xb0, 101, 0);
    zones.take(0xb0, 100, 6);
    zones.take(0xb0, 121, 0);
    expect(zones.take(0xb0, 6, 15)).toBe(false);
    zones.take(0xb0, 99, 0);
    zones.take(0xb0, 98, 6);
    expect(zones.take(0xb0, 6, 15)).toBe(false);
    expect(managersOf(zones)).toEqual(NONE);
  });
});

test('fingers count from their manager', () => {
  const zones = new MpeZones('both');
  expect(Array.from({ length: 16 }, (_, channel) => zones.fingerOf(channel))).toEqual([
    0, 1, 2, 3, 4, 5, 6, 7, 7, 6, 5, 4, 3, 2, 1, 0,
  ]);
});

test('property: after any configuration messages the zones are those of another reader', () => {
  const message = fc.tuple(fc.constantFrom(0, 15), fc.nat(15));
  forAll([fc.array(message, { maxLength: 6 })], (sent) => {
    const zones = new MpeZones();
    const synth = new SynthModel();
    for (const [manager, members] of sent) {
      configure(zones, manager, members);
      for (const [controller, value] of [
        [101, 0],
        [100, 6],
        [6, members],
      ])
        synth.channel(0xb0 | manager, controller, value);
    }
    // The manager's volume is that of its members.
    synth.channel(0xb0, 7, 1);
    synth.channel(0xbf, 7, 2);
    const members = Array.from({ length: 14 }, (_, i) => i + 1);
    const heard = members.map((channel) => [channel, 0, 15][synth.controllerOf(channel, 7) % 100]);
    expect(members.map((channel) => managersOf(zones)[channel])).toEqual(heard);
  });
});
