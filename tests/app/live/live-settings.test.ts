import { expect, test } from 'vitest';
import { DEFAULT_LIVE_SETTINGS, hasSameRoute, withStrategy } from '../../../src/app/live/live-settings.js';
import { DEFAULT_SETTINGS, toSettings } from '../../../src/core/tuner/index.js';

test('default live settings have virtual ports, an MPE lower zone of 15 members, and the default tuning', () => {
  const { tuner, inputs, outlets, actions } = DEFAULT_LIVE_SETTINGS;
  expect(tuner).toBe(DEFAULT_SETTINGS);
  expect(inputs).toEqual([
    {
      port: 'Leeway',
      virtual: true,
      bendRange: 2,
      mpe: 'auto',
      role: 'tuned',
      channels: undefined,
      fixedCents: new Array(12).fill(0),
    },
  ]);
  expect(outlets).toMatchObject([
    { port: 'Leeway', virtual: true, kind: 'mpe', zone: 'lower', members: 15, wire: 'fast', from: undefined },
  ]);
  expect(actions).toEqual([]);
});

test('default live settings are frozen to their depth', () => {
  const { inputs, outlets, actions } = DEFAULT_LIVE_SETTINGS;
  const parts = [DEFAULT_LIVE_SETTINGS, inputs, ...inputs, outlets, ...outlets, actions];
  expect(parts.map((part) => Object.isFrozen(part))).toEqual(parts.map(() => true));
});

test.each([
  ['free', undefined, Infinity],
  ['free', 5, Infinity],
  ['pull', undefined, 2],
  ['pull', 5, 5],
  ['anchored', undefined, 8],
  ['anchored', 0, 0],
] as const)(
  'the strategy %s with a chosen leeway of %s cents has a leeway of %d',
  (strategy, chosen, leeway) => {
    const tuner = toSettings({ strategy: 'pull', limit: 7, leewayCents: 3 });
    expect(withStrategy(tuner, strategy, chosen)).toEqual({ ...tuner, strategy, leewayCents: leeway });
  },
);

test('live settings that differ only in tuning, leeway or take have the same route', () => {
  const defaults = DEFAULT_LIVE_SETTINGS;
  const tuner = toSettings({ strategy: 'free' });
  expect(hasSameRoute(defaults, { ...defaults, tuner, leewayCents: 3, takeDirectory: 'takes' })).toBe(true);
  const others = [
    { inputs: [] },
    { outlets: [{ ...defaults.outlets[0], members: 8 }] },
    { fuse: 1 },
    { systemMessages: false },
  ];
  for (const other of others) expect(hasSameRoute(defaults, { ...defaults, ...other })).toBe(false);
});
