import { describe, expect, test } from 'vitest';
import { findConflicts } from '../../../src/cli/settings/conflicts.js';
import type { Settings } from '../../../src/cli/settings/read-document.js';

function toConflicts(settings: Settings): string[] {
  return findConflicts(settings).map(({ keys, part, code }) => `${keys.join('.')} ${part} ${code}`);
}

test.each<[string, Settings, string[]]>([
  ['nothing said', {}, []],
  ['tracks, and a table for the rest', { track: [{ name: 'A' }, { number: 1 }, {}] }, []],
  ['a track below the table for the rest', { track: [{}, { name: 'A' }] }, ['track.1 key SETTINGS_CONFLICT']],
  ['channel 10 below the table for the rest', { track: [{ role: 'guide' }, { channels: [9] }] }, []],
  ['the A of a guide', { track: [{ role: 'guide', a4: 415 }] }, ['track.0.a4 key SETTINGS_CONFLICT']],
  ['two inputs', { input: [{ port: 'A' }, { port: 'B' }] }, []],
  [
    'one input twice',
    { input: [{ port: 'A' }, { port: 'A', virtual: true }] },
    ['input.1.port value SETTINGS_CONFLICT'],
  ],
  ['two unnamed inputs', { input: [{}, { channels: [1] }] }, ['input.1.port value SETTINGS_CONFLICT']],
  ['two unnamed outlets', { outlet: [{}, { kind: 'mts' }] }, ['outlet.1.port value SETTINGS_CONFLICT']],
  [
    'two zones of one port',
    {
      outlet: [
        { port: 'A', members: 7 },
        { port: 'A', members: 7, zone: 'upper' },
      ],
    },
    [],
  ],
  [
    'channels of their own on one port',
    {
      outlet: [
        { port: 'A', kind: 'multichannel', channels: [0, 1] },
        { port: 'A', kind: 'multichannel', channels: [2] },
      ],
    },
    [],
  ],
  [
    'two zones of one port that meet',
    {
      outlet: [
        { port: 'A', members: 8 },
        { port: 'A', members: 7, zone: 'upper' },
      ],
    },
    ['outlet.1.port value SETTINGS_CONFLICT'],
  ],
  [
    'tuning messages on a port with others',
    {
      outlet: [
        { port: 'A', members: 7 },
        { port: 'A', kind: 'mts' },
      ],
    },
    ['outlet.1.port value SETTINGS_CONFLICT'],
  ],
  [
    'two cables to one port',
    {
      outlet: [
        { port: 'A', members: 7, wire: 'din' },
        { port: 'A', members: 7, zone: 'upper' },
      ],
    },
    ['outlet.1.port value SETTINGS_CONFLICT'],
  ],
  ['an unreadable zone of one port', { outlet: [{ port: 'A' }, { port: 'A', zone: undefined }] }, []],
  ['plays a split', { split: [{ name: 'Low' }], outlet: [{ from: ['Low'] }] }, []],
  ['one device both ways', { input: [{ port: 'A' }], outlet: [{ port: 'A' }] }, []],
  [
    'our own input as a foreign output',
    { outlet: [{ port: 'Leeway' }] },
    ['outlet.0.port value SETTINGS_CONFLICT'],
  ],
  [
    'our own output as a foreign input',
    { input: [{ port: 'A' }], outlet: [{ port: 'A', virtual: true }] },
    ['outlet.0.port value SETTINGS_CONFLICT'],
  ],
  ['plays what is there', { input: [{ port: 'A' }], outlet: [{ from: ['A'] }] }, []],
  ['plays the default input', { outlet: [{ from: ['Leeway'] }] }, []],
  [
    'plays what is not there',
    { input: [{ port: 'A' }], outlet: [{ from: ['A', 'B'] }] },
    ['outlet.0.from.1 value SETTINGS_NO_INPUT'],
  ],
  [
    'a rule for an input that is not there',
    { action: [{ note: 1, do: 'panic', input: 'A' }] },
    ['action.0.input value SETTINGS_NO_INPUT'],
  ],
])('conflicts of ports: %s', (_, settings, conflicts) => expect(toConflicts(settings)).toEqual(conflicts));

test.each<[NonNullable<Settings['tuning']>, string[]]>([
  [{ end: 'home', smooth: 5 }, []],
  [{ plan: 'whole', end: 'home', smooth: 5 }, []],
  [{ plan: 'live' }, []],
  [
    { plan: 'live', end: 'home', smooth: 5 },
    ['tuning.end key SETTINGS_CONFLICT', 'tuning.smooth key SETTINGS_CONFLICT'],
  ],
])('conflicts of the keys of a plan: %j', (tuning, conflicts) =>
  expect(toConflicts({ tuning })).toEqual(conflicts),
);

describe('conflicts of keys that an outlet kind does not use:', () => {
  const all = {
    'bend-range': 12,
    zone: 'upper',
    members: 3,
    channels: [1],
    'release-hold': 5,
  } as const;

  test.each([
    ['mpe', ['channels']],
    [undefined, ['channels']],
    ['multichannel', ['zone', 'members']],
    ['mts', ['bend-range', 'zone', 'members', 'channels', 'release-hold']],
  ] as const)('%s', (kind, idle) => {
    const outlet = kind === undefined ? all : { ...all, kind };
    expect(toConflicts({ outlet: [outlet] })).toEqual(
      idle.map((key) => `outlet.0.${key} key SETTINGS_CONFLICT`),
    );
  });
});

describe('conflicts of actions:', () => {
  test.each<[string, NonNullable<Settings['action']>, string[]]>([
    ['whole', [{ controller: 67, do: 'home-now' }], []],
    ['with its strategy', [{ controller: 67, do: 'strategy', strategy: 'free' }], []],
    ['nothing asks', [{ do: 'home-now' }], ['action.0 key SETTINGS_MISSING']],
    ['nothing done', [{ note: 0 }], ['action.0 key SETTINGS_MISSING']],
    ['two things ask', [{ note: 0, program: 0, do: 'panic' }], ['action.0.program key SETTINGS_CONFLICT']],
    ['no strategy', [{ note: 0, do: 'strategy' }], ['action.0.do key SETTINGS_MISSING']],
    ['with its switch', [{ controller: 67, switch: 'latching', do: 'home-now' }], []],
    [
      'a switch without controller',
      [{ note: 0, switch: 'latching', do: 'panic' }],
      ['action.0.switch key SETTINGS_CONFLICT'],
    ],
    ['with its limit', [{ controller: 67, do: 'limit', limit: 7 }], []],
    ['no limit', [{ note: 0, do: 'limit' }], ['action.0.do key SETTINGS_MISSING']],
    ['an idle limit', [{ note: 0, do: 'limit-up', limit: 7 }], ['action.0.limit key SETTINGS_CONFLICT']],
    ['with its tonic', [{ note: 0, do: 'tonic', tonic: { keyClass: 2, fifths: 2 } }], []],
    ['no tonic', [{ note: 0, do: 'tonic' }], ['action.0.do key SETTINGS_MISSING']],
    [
      "another action's value",
      [{ note: 0, do: 'tonic', limit: 7 }],
      ['action.0.limit key SETTINGS_CONFLICT', 'action.0.do key SETTINGS_MISSING'],
    ],
    [
      'an idle strategy',
      [{ note: 0, do: 'panic', strategy: 'free' }],
      ['action.0.strategy key SETTINGS_CONFLICT'],
    ],
  ])('%s', (_, action, conflicts) => expect(toConflicts({ action })).toEqual(conflicts));

  const inputs = [{ port: 'A' }, { port: 'B' }];
  test.each([
    [{}, {}, true],
    [{}, { channel: 3 }, true],
    [{ channel: 3 }, { channel: 3 }, true],
    [{ channel: 3 }, { channel: 4 }, false],
    [{}, { input: 'A' }, true],
    [{ input: 'A' }, { input: 'A' }, true],
    [{ input: 'A' }, { input: 'B' }, false],
    [{ channel: 3 }, { input: 'A' }, true],
    [{ channel: 3, input: 'A' }, { channel: 4, input: 'A' }, false],
    [{ channel: 3, input: 'A' }, { channel: 3, input: 'B' }, false],
  ])('two rules of one controller, %j and %j, clash: %s', (one, other, clash) => {
    const action = [one, other].map((rest) => ({ controller: 4, do: 'panic' as const, ...rest }));
    expect(toConflicts({ input: inputs, action })).toEqual(
      clash ? ['action.1.controller key SETTINGS_CONFLICT'] : [],
    );
  });

  test('two rules of different numbers or kinds do not clash', () => {
    const action = [
      { controller: 4, do: 'panic' },
      { controller: 5, do: 'panic' },
      { note: 4, do: 'panic' },
    ] as const;
    expect(toConflicts({ action: [...action] })).toEqual([]);
  });
});

test('no conflict is reported of values that could not be read', () => {
  const settings = {
    input: [{ port: undefined }, { port: 'A' }, { port: 'C', virtual: undefined }],
    outlet: [
      { port: undefined, kind: undefined, zone: 'upper', channels: [1], from: ['B'] },
      { port: 'D', from: undefined },
      { port: 'C', virtual: true },
    ],
    action: [
      { controller: undefined, do: undefined, strategy: 'free' },
      { controller: 3, channel: undefined, do: 'panic' },
      { controller: 3, channel: undefined, do: 'home-now' },
      { controller: 3, channel: 4, input: 'B', do: 'panic' },
    ],
  } as Settings;
  expect(toConflicts(settings)).toEqual([]);
});
