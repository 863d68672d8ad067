import { describe, expect, test } from 'vitest';
import {
  type Choices,
  NO_CHOICES,
  overlay,
  overlayOutlet,
  toOutletChoice,
  toPlanning,
  toRemarks,
  toTunerSettings,
} from '../../../src/cli/settings/choices.js';
import { DEFAULT_SETTINGS } from '../../../src/core/tuner/index.js';

test('no choices are the default settings', () => {
  const { home, ...settings } = toTunerSettings({});
  const { home: defaultHome, ...defaults } = DEFAULT_SETTINGS;
  expect(settings).toEqual(defaults);
  expect([home.kind, home.tonic]).toEqual([defaultHome.kind, defaultHome.tonic]);
});

test.each([
  [{ strategy: 'pull' }, 2],
  [{ strategy: 'anchored' }, 8],
  [{ strategy: 'anchored', leeway: 0 }, 0],
  [{ strategy: 'free', leeway: 5 }, Infinity],
] as const)('the leeway of the settings %j is %d', (choices, cents) => {
  expect(toTunerSettings(choices).leewayCents).toBe(cents);
});

test('the second choices decide what the first leave open', () => {
  const first = { ...NO_CHOICES, tuning: { limit: 7, a4: undefined } } as const;
  const second = { ...NO_CHOICES, tuning: { limit: 3, a4: 415 } } as const;
  expect(overlay(first, second)).toEqual({ tuning: { limit: 7, a4: 415 }, outlet: {} });
});

test('choices of tuning messages have no bend range', () => {
  expect(toOutletChoice({ kind: 'mts', 'bend-range': 12 })).toEqual({ kind: 'mts', bendRange: undefined });
  expect(toOutletChoice({ 'bend-range': 12 })).toEqual({ kind: 'mpe', bendRange: 12 });
});

test('choices of an outlet are those that its kind uses', () => {
  const all = { 'bend-range': 12, zone: 'upper', members: 3, channels: [0, 1], 'release-hold': 0 } as const;
  expect(toOutletChoice(all)).toEqual({
    kind: 'mpe',
    bendRange: 12,
    zone: 'upper',
    members: 3,
    releaseHoldMs: 0,
  });
  expect(toOutletChoice({ ...all, kind: 'multichannel' })).toEqual({
    kind: 'multichannel',
    bendRange: 12,
    channels: [0, 1],
    releaseHoldMs: 0,
  });
  expect(toOutletChoice({ ...all, kind: 'mts' })).toEqual({ kind: 'mts', bendRange: undefined });
});

test('another kind of outlet takes over no choice of the first', () => {
  const inFile = { kind: 'multichannel', 'bend-range': 12, channels: [0], 'release-hold': 9 } as const;
  const choose = (kind: Choices['outlet']['kind']) => toOutletChoice(overlayOutlet({ kind }, inFile));
  expect(choose(undefined)).toMatchObject({ channels: [0], bendRange: 12 });
  expect(choose('multichannel')).toMatchObject({ channels: [0], bendRange: 12 });
  expect(overlayOutlet({ kind: 'mpe' }, inFile)).toEqual({ kind: 'mpe', 'release-hold': 9 });
  expect(overlayOutlet({ kind: 'mpe' }, { members: 3 }).members).toBe(3);
  const chosen = { tuning: {}, outlet: { kind: 'mpe' } } as const;
  expect(overlay(chosen, { tuning: { limit: 7 }, outlet: inFile })).toEqual({
    tuning: { limit: 7 },
    outlet: { kind: 'mpe', 'release-hold': 9 },
  });
});

test('a file is planned as a whole by default, and live by name', () => {
  expect(toPlanning({})).toEqual({ end: 'open', smoothSeconds: 200 });
  expect(toPlanning({ end: 'home', smooth: 0 })).toEqual({ end: 'home', smoothSeconds: 0 });
  expect(toPlanning({ plan: 'whole', end: 'home' })).toEqual({ end: 'home', smoothSeconds: 200 });
  expect(toPlanning({ plan: 'live', end: 'home' })).toBe('live');
});

describe('remarks on choices', () => {
  const tuned = (tuning: Choices['tuning']) => ({ ...NO_CHOICES, tuning });
  const sent = (outlet: Choices['outlet']) => ({ ...NO_CHOICES, outlet });

  test.each<[Choices, Choices, string]>([
    [tuned({ leeway: 3 }), tuned({ strategy: 'free', leeway: 3 }), '--leeway'],
    [tuned({ leeway: 3 }), tuned({ strategy: 'temper', leeway: 3 }), '--leeway'],
    [tuned({ rate: 3 }), tuned({ rate: 3 }), '--rate'],
    [tuned({ held: 'stay' }), tuned({ strategy: 'free', held: 'stay' }), '--held'],
    [sent({ 'bend-range': 2 }), sent({ kind: 'mts', 'bend-range': 2 }), '--bend-range'],
    [tuned({ plan: 'whole' }), tuned({ plan: 'whole', strategy: 'temper' }), '--plan'],
    [tuned({ smooth: 3 }), tuned({ strategy: 'free', smooth: 3 }), '--smooth'],
    [tuned({ smooth: 3 }), tuned({ strategy: 'temper', smooth: 3 }), '--smooth'],
    [tuned({ smooth: 3 }), tuned({ strategy: 'pull', smooth: 3 }), '--smooth'],
  ])('are made on %j among %j, which has no effect', (given, all, option) => {
    expect(toRemarks(given, all)).toEqual([expect.stringMatching(`^${option} has no effect`)]);
  });

  test('are worded as options, or as keys of a file', () => {
    const all = tuned({ strategy: 'free', leeway: 3 });
    const why = 'which never brings the pitch back';
    expect(toRemarks(all, all)).toEqual([`--leeway has no effect with --strategy free, ${why}`]);
    expect(toRemarks(all, all, 'key')).toEqual([`leeway has no effect with strategy = "free", ${why}`]);
    const mts = sent({ kind: 'mts', 'bend-range': 2 });
    expect(toRemarks(mts, mts)).toEqual([
      '--bend-range has no effect with --outlet mts, which sends no bends',
    ]);
  });

  test('are not made on what is in the settings file or has an effect', () => {
    expect(toRemarks(NO_CHOICES, tuned({ strategy: 'free', leeway: 3 }))).toEqual([]);
    expect(toRemarks(tuned({ rate: 3 }), tuned({ strategy: 'pull', rate: 3 }))).toEqual([]);
    const planned = tuned({ leeway: 3, end: 'home', smooth: 3 });
    expect(toRemarks(planned, planned)).toEqual([]);
    const pulled = tuned({ plan: 'whole', strategy: 'pull', leeway: 3, rate: 3 });
    expect(toRemarks(pulled, pulled)).toEqual([]);
  });
});
