import { describe, expect, test } from 'vitest';
import {
  forOutlet,
  overlay,
  toOutletChoice,
  toPlanning,
  toRemarks,
  toTunerSettings,
} from '../../src/cli/choices.js';
import { STOCK_SETTINGS } from '../../src/core/tuner/index.js';

test('no choices are the stock settings', () => {
  const { home, ...settings } = toTunerSettings({});
  const { home: stockHome, ...stock } = STOCK_SETTINGS;
  expect(settings).toEqual(stock);
  expect([home.kind, home.tonic]).toEqual([stockHome.kind, stockHome.tonic]);
});

test.each([
  [{ strategy: 'pull' }, 2],
  [{ strategy: 'anchored' }, 8],
  [{ strategy: 'anchored', leewayCents: 0 }, 0],
  [{ strategy: 'free', leewayCents: 5 }, Infinity],
] as const)('the leeway of %j is %d', (choices, cents) => {
  expect(toTunerSettings(choices).leewayCents).toBe(cents);
});

test('what the first leave open, the second decide', () => {
  expect(overlay({ limit: 7, a4Hz: undefined }, { limit: 3, a4Hz: 415 })).toEqual({ limit: 7, a4Hz: 415 });
});

test('tuning messages have no bend range', () => {
  expect(toOutletChoice({ outlet: 'mts', bendRange: 12 })).toEqual({ kind: 'mts', bendRange: undefined });
  expect(toOutletChoice({ bendRange: 12 })).toEqual({ kind: 'mpe', bendRange: 12 });
});

test('of an outlet, what its kind has a use for', () => {
  const all = { bendRange: 12, zone: 'upper', members: 3, channels: [0, 1], releaseHoldMs: 0 } as const;
  expect(toOutletChoice(all)).toEqual({
    kind: 'mpe',
    bendRange: 12,
    zone: 'upper',
    members: 3,
    releaseHoldMs: 0,
  });
  expect(toOutletChoice({ ...all, outlet: 'multichannel' })).toEqual({
    kind: 'multichannel',
    bendRange: 12,
    channels: [0, 1],
    releaseHoldMs: 0,
  });
  expect(toOutletChoice({ ...all, outlet: 'mts' })).toEqual({ kind: 'mts', bendRange: undefined });
});

test('another kind takes nothing over that was said of the first', () => {
  const inFile = {
    outlet: 'multichannel',
    bendRange: 12,
    channels: [0],
    releaseHoldMs: 9,
    limit: 7,
  } as const;
  expect(toOutletChoice(forOutlet(inFile, undefined))).toMatchObject({ channels: [0], bendRange: 12 });
  expect(toOutletChoice(forOutlet(inFile, 'multichannel'))).toMatchObject({ channels: [0], bendRange: 12 });
  expect(forOutlet(inFile, 'mpe')).toMatchObject({ limit: 7, bendRange: undefined, channels: undefined });
  expect(forOutlet({ members: 3 }, 'mpe').members).toBe(3);
});

test('a file is planned as a whole by default, and live by name', () => {
  expect(toPlanning({})).toEqual({ end: 'open', smoothSeconds: 200 });
  expect(toPlanning({ end: 'home', smoothSeconds: 0 })).toEqual({ end: 'home', smoothSeconds: 0 });
  expect(toPlanning({ plan: 'whole', end: 'home' })).toEqual({ end: 'home', smoothSeconds: 200 });
  expect(toPlanning({ plan: 'live', end: 'home' })).toBe('live');
});

describe('remarks', () => {
  test.each([
    [{ leewayCents: 3 }, { strategy: 'free', leewayCents: 3 }, '--leeway'],
    [{ rateCentsPerSecond: 3 }, { rateCentsPerSecond: 3 }, '--rate'],
    [{ held: 'stay' }, { strategy: 'free', held: 'stay' }, '--held'],
    [{ bendRange: 2 }, { outlet: 'mts', bendRange: 2 }, '--bend-range'],
    [{ plan: 'whole' }, { plan: 'whole', strategy: 'temper' }, '--plan'],
    [{ smoothSeconds: 3 }, { strategy: 'free', smoothSeconds: 3 }, '--smooth'],
    [{ smoothSeconds: 3 }, { strategy: 'temper', smoothSeconds: 3 }, '--smooth'],
    [{ smoothSeconds: 3 }, { strategy: 'pull', smoothSeconds: 3 }, '--smooth'],
  ] as const)('%j among %j', (given, all, option) => {
    expect(toRemarks(given, all)).toEqual([expect.stringMatching(`^${option} has no effect`)]);
  });

  test('none for what stands in the settings file, or has an effect', () => {
    expect(toRemarks({}, { strategy: 'free', leewayCents: 3 })).toEqual([]);
    expect(toRemarks({ rateCentsPerSecond: 3 }, { strategy: 'pull', rateCentsPerSecond: 3 })).toEqual([]);
    const planned = { leewayCents: 3, end: 'home', smoothSeconds: 3 } as const;
    expect(toRemarks(planned, planned)).toEqual([]);
    const pulled = { plan: 'whole', strategy: 'pull', leewayCents: 3, rateCentsPerSecond: 3 } as const;
    expect(toRemarks(pulled, pulled)).toEqual([]);
  });
});
