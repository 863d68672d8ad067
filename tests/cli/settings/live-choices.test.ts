import { describe, expect, test } from 'vitest';
import { DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET } from '../../../src/app/live/live-settings.js';
import { type Choices, NO_CHOICES } from '../../../src/cli/settings/choices.js';
import { type LiveChoices, NO_LIVE_CHOICES, toLiveSettings } from '../../../src/cli/settings/live-choices.js';
import type { Settings } from '../../../src/cli/settings/read-document.js';

function gather(file: Settings, line: Partial<LiveChoices> = {}, given: Partial<Choices> = {}) {
  const choices = { ...NO_CHOICES, ...given };
  return toLiveSettings(file, { ...NO_LIVE_CHOICES, ...line }, choices, choices);
}

test('empty live settings are the defaults', () => {
  const { settings, remarks } = gather({});
  const { tuner, ...rest } = settings;
  const { tuner: defaultTuner, ...defaults } = DEFAULT_LIVE_SETTINGS;
  expect(rest).toEqual(defaults);
  expect({ ...tuner, home: tuner.home.kind }).toEqual({ ...defaultTuner, home: defaultTuner.home.kind });
  expect(remarks).toEqual([]);
});

test('what the settings file says replaces the default', () => {
  const { settings } = gather({
    input: [{ port: 'A', channels: [0], 'bend-range': 12 }, { virtual: true }],
    outlet: [
      {
        port: 'B',
        kind: 'mpe',
        'bend-range': 24,
        zone: 'upper',
        members: 3,
        'release-hold': 0,
        wire: 'din',
        from: ['A'],
      },
      { port: 'C', kind: 'multichannel', channels: [4, 5] },
    ],
    action: [{ program: 3, channel: 2, input: 'A', do: 'strategy', strategy: 'pull' }],
    live: { fuse: 500, 'pass-system': false, take: 'takes' },
  });
  expect(settings).toMatchObject({
    inputs: [
      { port: 'A', virtual: false, bendRange: 12, channels: [0] },
      { port: 'Leeway', virtual: true, bendRange: 2, channels: undefined },
    ],
    outlets: [
      {
        port: 'B',
        virtual: false,
        kind: 'mpe',
        bendRange: 24,
        zone: 'upper',
        members: 3,
        channels: undefined,
        releaseHoldMs: 0,
        wire: 'din',
        from: ['A'],
      },
      { ...DEFAULT_OUTLET, port: 'C', virtual: false, kind: 'multichannel', channels: [4, 5] },
    ],
    actions: [
      {
        on: { kind: 'program', number: 3, channel: 2, input: 'A' },
        action: 'strategy',
        strategy: 'pull',
      },
    ],
    fuse: 500,
    systemMessages: false,
    takeDirectory: 'takes',
  });
});

test('live settings are frozen to their depth', () => {
  const file = { input: [{ port: 'A' }], action: [{ note: 3, do: 'panic' as const }] };
  const { settings } = gather(
    file,
    { outlets: [{ port: 'B', virtual: false }] },
    { outlet: { kind: 'mts' } },
  );
  const { inputs, outlets, actions } = settings;
  const parts = [settings, inputs, ...inputs, outlets, ...outlets, actions, ...actions, actions[0].on];
  expect(parts.map((part) => Object.isFrozen(part))).toEqual(parts.map(() => true));
});

describe('ports named on the command line', () => {
  const named = (...ports: string[]) => ports.map((port) => ({ port, virtual: false }));

  test('replace those of the file, and one that is in the file too has its settings', () => {
    const file = { input: [{ port: 'A', channels: [3] }, { port: 'B' }] };
    const { settings } = gather(file, { inputs: named('C', 'A') });
    expect(settings.inputs.map(({ port, channels }) => [port, channels])).toEqual([
      ['C', undefined],
      ['A', [3]],
    ]);
    expect(settings.outlets).toEqual([DEFAULT_OUTLET]);
  });

  test('take the settings of the only outlet of the file', () => {
    const { settings } = gather({ outlet: [{ kind: 'mts', wire: 'din' }] }, { outlets: named('X', 'Y') });
    expect(settings.outlets).toMatchObject([
      { port: 'X', virtual: false, kind: 'mts', wire: 'din' },
      { port: 'Y', virtual: false, kind: 'mts', wire: 'din' },
    ]);
  });

  test('take settings of one of several outlets only by its name', () => {
    const file: Settings = { outlet: [{ port: 'X', kind: 'mts' }, { port: 'Z' }] };
    const { settings } = gather(file, { outlets: named('X', 'Y') });
    expect(settings.outlets.map(({ port, kind }) => [port, kind])).toEqual([
      ['X', 'mts'],
      ['Y', 'mpe'],
    ]);
  });

  test('leave out settings of inputs that are gone, with a remark', () => {
    const file: Settings = {
      input: [{ port: 'A' }, { port: 'B' }],
      outlet: [
        { port: 'X', from: ['A', 'B'] },
        { port: 'Y', from: ['B'] },
        { port: 'Z', from: ['A'] },
      ],
      action: [
        { note: 1, input: 'B', do: 'panic' },
        { note: 1, input: 'A', do: 'panic' },
      ],
    };
    const { settings, remarks } = gather(file, { inputs: named('A') });
    expect(settings.outlets.map(({ from }) => from)).toEqual([['A'], undefined, ['A']]);
    expect(settings.actions).toHaveLength(2);
    expect(remarks).toEqual([
      '"B" not being among the inputs, the outlet "X" plays only "A"',
      '"B" not being among the inputs, the outlet "Y" now plays all inputs',
      'nothing asks for an action on "B", which is not among the inputs',
    ]);
  });
});

describe('outlet options on the command line', () => {
  const mpe = { kind: 'mpe', 'bend-range': 24, zone: 'upper', members: 3, wire: 'din' } as const;

  test('of another kind take over nothing from the file', () => {
    const { settings } = gather({ outlet: [mpe] }, {}, { outlet: { kind: 'multichannel' } });
    const defaults = { ...DEFAULT_OUTLET, kind: 'multichannel', wire: 'din' };
    expect(settings.outlets).toEqual([defaults]);
  });

  test('of the same kind take over everything from the file', () => {
    const { settings } = gather({ outlet: [mpe] }, {}, { outlet: { kind: 'mpe', 'bend-range': 12 } });
    expect(settings.outlets).toMatchObject([{ kind: 'mpe', bendRange: 12, zone: 'upper', members: 3 }]);
  });

  test('of tuning messages have no bend range', () => {
    const file: Settings = { outlet: [{ port: 'A' }, { port: 'B', kind: 'mts' }] };
    const { settings } = gather(file, {}, { outlet: { 'bend-range': 12 } });
    expect(settings.outlets.map(({ bendRange }) => bendRange)).toEqual([12, undefined]);
  });
});

test('a take on the command line replaces that of the file', () => {
  expect(gather({ live: { take: 'a' } }, { take: 'b' }).settings.takeDirectory).toBe('b');
});

test('a leeway on the command line counts for strategies chosen later', () => {
  const { settings } = gather({}, {}, { tuning: { strategy: 'free', leeway: 3 } });
  expect([settings.tuner.leewayCents, settings.leewayCents]).toEqual([Infinity, 3]);
});

test('knobs and lamps of the settings file have their defaults filled in', () => {
  const { settings } = gather({
    knob: [
      { controller: 1, sets: 'a4', most: 445 },
      { controller: 2, channel: 3, input: 'A', sets: 'rate' },
    ],
    lamp: [
      { port: 'B', note: 60, shows: 'tonic', is: 'Bb' },
      { port: 'B', virtual: true, channel: 15, controller: 20, shows: 'drift', least: -10 },
    ],
  });
  const [lamp, meter] = settings.lamps;
  expect(settings.knobs).toEqual([
    { controller: 1, channel: undefined, input: undefined, sets: 'a4', least: 430, most: 445 },
    { controller: 2, channel: 3, input: 'A', sets: 'rate', least: 0.5, most: 50 },
  ]);
  const filled = { channel: 0, on: 127, leastCents: -50, mostCents: 50 };
  expect(lamp).toEqual({
    ...filled,
    port: 'B',
    virtual: false,
    kind: 'note',
    number: 60,
    shows: 'tonic',
    is: 'B♭',
  });
  expect(meter).toMatchObject({
    ...filled,
    virtual: true,
    channel: 15,
    kind: 'controller',
    number: 20,
    leastCents: -10,
  });
  for (const part of [settings.knobs, ...settings.knobs, settings.lamps, lamp])
    expect(Object.isFrozen(part)).toBe(true);
});

test('a knob of an input that the command line leaves out is remarked on', () => {
  const file: Settings = {
    input: [{ port: 'A' }, { port: 'B' }],
    knob: [{ controller: 1, input: 'B', sets: 'rate' }],
  };
  expect(gather(file, { inputs: [{ port: 'A', virtual: false }] }).remarks).toEqual([
    'no knob is turned on "B", which is not among the inputs',
  ]);
});
