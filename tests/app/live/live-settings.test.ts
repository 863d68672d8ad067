import { expect, test } from 'vitest';
import { hasSameRoute, STOCK_LIVE_SETTINGS, withStrategy } from '../../../src/app/live/live-settings.js';
import { STOCK_SETTINGS, toSettings } from '../../../src/core/tuner/index.js';

test('stock: our own virtual ports, an MPE lower zone of 15 members, the stock tuning', () => {
  const { tuner, inputs, outlets, actions } = STOCK_LIVE_SETTINGS;
  expect(tuner).toBe(STOCK_SETTINGS);
  expect(inputs).toEqual([{ port: 'Leeway', virtual: true, bendRange: 2, channels: undefined }]);
  expect(outlets).toMatchObject([
    { port: 'Leeway', virtual: true, kind: 'mpe', zone: 'lower', members: 15, wire: 'fast', from: undefined },
  ]);
  expect(actions).toEqual([]);
});

test('stock settings are frozen to their depth', () => {
  const { inputs, outlets, actions } = STOCK_LIVE_SETTINGS;
  const parts = [STOCK_LIVE_SETTINGS, inputs, ...inputs, outlets, ...outlets, actions];
  expect(parts.map((part) => Object.isFrozen(part))).toEqual(parts.map(() => true));
});

test.each([
  ['free', undefined, Infinity],
  ['free', 5, Infinity],
  ['pull', undefined, 2],
  ['pull', 5, 5],
  ['anchored', undefined, 8],
  ['anchored', 0, 0],
] as const)('%s with a leeway of %s cents chosen stands within %d', (strategy, chosen, leeway) => {
  const tuner = toSettings({ strategy: 'pull', limit: 7, leewayCents: 3 });
  expect(withStrategy(tuner, strategy, chosen)).toEqual({ ...tuner, strategy, leewayCents: leeway });
});

test('the way is the same while only the tuning, the leeway or the take differs', () => {
  const stock = STOCK_LIVE_SETTINGS;
  const tuner = toSettings({ strategy: 'free' });
  expect(hasSameRoute(stock, { ...stock, tuner, leewayCents: 3, takeDirectory: 'takes' })).toBe(true);
  const others = [
    { inputs: [] },
    { outlets: [{ ...stock.outlets[0], members: 8 }] },
    { fuse: 1 },
    { systemMessages: false },
  ];
  for (const other of others) expect(hasSameRoute(stock, { ...stock, ...other })).toBe(false);
});
