import { expect, test } from 'vitest';
import { STOCK_LIVE_SETTINGS } from '../../../src/app/live/live-settings.js';
import { STOCK_SETTINGS } from '../../../src/core/tuner/index.js';

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
