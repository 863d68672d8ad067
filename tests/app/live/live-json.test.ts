import { expect, test } from 'vitest';
import { DEFAULT_LAMP } from '../../../src/app/live/lamps.js';
import { toLiveJson } from '../../../src/app/live/live-json.js';
import { DEFAULT_INPUT, DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET } from '../../../src/app/live/live-settings.js';
import { toSettings } from '../../../src/core/tuner/index.js';

test('live settings as JSON show the defaults, with null for all channels', () => {
  const { tuning, ...rest } = toLiveJson(DEFAULT_LIVE_SETTINGS);
  expect(tuning).toMatchObject({ strategy: 'anchored', leewayCents: 8 });
  expect(rest).toEqual({
    inputs: [{ port: 'Leeway', virtual: true, role: 'tuned', bendRange: 2, channels: null }],
    splits: [],
    outlets: [
      {
        port: 'Leeway',
        virtual: true,
        kind: 'mpe',
        bendRange: 48,
        zone: 'lower',
        members: 15,
        channels: null,
        releaseHoldMs: 500,
        wire: 'fast',
        from: null,
      },
    ],
    actions: [],
    presets: [],
    knobs: [],
    lamps: [],
    fuse: 8000,
    waitMs: 0,
    passSystem: true,
    take: null,
  });
});

test('live settings as JSON count channels and programs from 1, and have null for unused keys', () => {
  const on = { kind: 'program', number: 0, channel: 15, input: 'A' } as const;
  const { inputs, outlets, actions } = toLiveJson({
    ...DEFAULT_LIVE_SETTINGS,
    inputs: [{ ...DEFAULT_INPUT, channels: [0, 15] }],
    outlets: [
      { ...DEFAULT_OUTLET, kind: 'mts', from: ['A'] },
      { ...DEFAULT_OUTLET, kind: 'multichannel', channels: [0] },
    ],
    actions: [
      { on, action: 'strategy', strategy: 'free' },
      { on: { ...on, kind: 'note', channel: undefined }, action: 'panic', strategy: undefined },
      { on: { ...on, kind: 'note', channel: undefined }, action: 'limit', strategy: undefined, limit: 7 },
      {
        on: { ...on, kind: 'note', channel: undefined },
        action: 'tonic',
        strategy: undefined,
        tonic: { keyClass: 10, fifths: -2 },
      },
    ],
  });
  expect(inputs[0].channels).toEqual([1, 16]);
  expect(outlets).toMatchObject([
    { bendRange: null, zone: null, members: null, from: ['A'] },
    { bendRange: 4, zone: null, members: null, channels: [1] },
  ]);
  expect(actions).toEqual([
    {
      program: 1,
      switch: null,
      channel: 16,
      input: 'A',
      do: 'strategy',
      strategy: 'free',
      limit: null,
      tonic: null,
      preset: null,
    },
    {
      note: 0,
      switch: null,
      channel: null,
      input: 'A',
      do: 'panic',
      strategy: null,
      limit: null,
      tonic: null,
      preset: null,
    },
    {
      note: 0,
      switch: null,
      channel: null,
      input: 'A',
      do: 'limit',
      strategy: null,
      limit: 7,
      tonic: null,
      preset: null,
    },
    {
      note: 0,
      switch: null,
      channel: null,
      input: 'A',
      do: 'tonic',
      strategy: null,
      limit: null,
      tonic: 'B♭',
      preset: null,
    },
  ]);
});

test('live settings as JSON have presets, knobs and lamps, channels counted from 1', () => {
  const lamp = { ...DEFAULT_LAMP, port: 'L', virtual: false, channel: 15, is: undefined } as const;
  const { presets, knobs, lamps } = toLiveJson({
    ...DEFAULT_LIVE_SETTINGS,
    presets: [{ name: 'slow', tuner: toSettings({ limit: 7 }), leewayCents: undefined }],
    knobs: [{ controller: 1, channel: 0, input: undefined, sets: 'rate', least: 1, most: 2 }],
    lamps: [
      { ...lamp, kind: 'note', number: 60, shows: 'limit', is: '7' },
      { ...lamp, kind: 'controller', number: 20, shows: 'drift' },
    ],
  });
  expect(presets).toMatchObject([{ name: 'slow', tuning: { limit: 7 } }]);
  expect(knobs).toEqual([{ controller: 1, channel: 1, input: null, sets: 'rate', least: 1, most: 2 }]);
  const its = { port: 'L', virtual: false, channel: 16 };
  expect(lamps).toEqual([
    { ...its, note: 60, shows: 'limit', is: '7', on: 127, leastCents: null, mostCents: null },
    { ...its, controller: 20, shows: 'drift', is: null, on: null, leastCents: -50, mostCents: 50 },
  ]);
});
