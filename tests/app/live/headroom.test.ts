import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Headroom, toHeadroom, toHeadroomJson } from '../../../src/app/live/headroom.js';
import {
  type ActionRule,
  DEFAULT_INPUT,
  DEFAULT_LIVE_SETTINGS,
  DEFAULT_OUTLET,
  type LiveSettings,
} from '../../../src/app/live/live-settings.js';
import { toReferenceCents } from '../../../src/core/theory/index.js';
import { STRATEGIES, type TunerSettings, toSettings } from '../../../src/core/tuner/index.js';
import { playBent } from '../../support/bent-playing.js';
import { homeOn } from '../../support/play.js';
import { amongAll, forAll } from '../../support/properties.js';
import { playing, settings } from '../../support/random-playing.js';

const MPE = DEFAULT_OUTLET;
const plain = (bendRange?: number) => ({ ...DEFAULT_OUTLET, kind: 'multichannel' as const, bendRange });
const tuned = (changes: Partial<TunerSettings>) => ({ tuner: toSettings(changes) });
const wheel = (bendRange: number, changes = {}) => ({
  inputs: [{ ...DEFAULT_INPUT, bendRange, ...changes }],
});
const on = { kind: 'controller', number: 20, channel: undefined, input: undefined } as const;
const knob = (sets: 'a4' | 'leeway', least: number, most: number) => ({
  controller: 1,
  channel: undefined,
  input: undefined,
  sets,
  least,
  most,
});
const rule = (action: ActionRule['action'], strategy?: ActionRule['strategy']) => ({
  actions: [{ on, action, strategy }],
});

// A semitone of range carries 100 · 8191/8192 = 99.988 cents upward. Harmony takes
// 30 cents in limit 3, 50 in 5 and 7, 75 above; past a semitone a note is up to 30, 65 or 75 cents.
test.each<[string, Partial<LiveSettings>, LiveSettings['outlets'][number], number[]]>([
  // wheel, tuning, drift, spare, the range and the wheel that fit
  ['the defaults', {}, MPE, [199.98, 50, 8, 4541.44, 3, 47]], // 46 · 99.988 - 58
  ['plain channels by default', {}, plain(), [199.98, 50, 8, 141.98, 3, 3]], // 2 · 99.988 - 58
  ['plain channels as wide as the wheel', {}, plain(2), [199.98, 50, 8, -58, 3, 1]],
  ['unlimited drift', tuned({ strategy: 'free' }), plain(), [199.98, 50, 115, 34.98, 4, 2]], // a semitone and 65, with tuning
  ['limit 13', tuned({ strategy: 'pull', limit: 13 }), plain(), [199.98, 75, 100, 24.98, 4, 2]],
  ['limit 3', tuned({ limit: 3, leewayCents: 4 }), plain(3), [199.98, 30, 4, 65.99, 3, 2]],
  // Eight fifths up, each 3.422 cents narrow: 27.37.
  ['meantone', tuned({ home: homeOn('meantone', 'D') }), plain(3), [199.98, 77.37, 8, 14.62, 3, 2]],
  // 9/5 is 17.60 cents above its key, A at 442 Hz 7.85: 25.45.
  [
    'a just home, A = 442 Hz',
    tuned({ home: homeOn('just', 'C'), referenceCents: toReferenceCents(442) }),
    plain(3),
    [199.98, 75.45, 8, 16.54, 3, 2],
  ],
  // 101.27 cents below, and harmony's 50.
  ['A = 415 Hz', tuned({ referenceCents: toReferenceCents(415) }), plain(), [199.98, 151.27, 8, 40.7, 4, 2]],
  [
    'an action that raises the limit to 13',
    { actions: [{ on, action: 'limit', strategy: undefined, limit: 13 }] },
    plain(),
    [199.98, 75, 8, 116.98, 3, 3],
  ],
  // The A of 415 Hz of one preset, and the leeway of the other.
  [
    'presets',
    {
      presets: [{ referenceCents: toReferenceCents(415) }, { leewayCents: 20 }].map((changes, i) => ({
        name: `${i}`,
        tuner: toSettings(changes),
        leewayCents: undefined,
      })),
    },
    plain(),
    [199.98, 151.27, 13.73, 34.98, 4, 2],
  ],
  // 440 to 450 Hz is 38.91 cents, to 430 Hz 39.8.
  [
    'knobs for A and the leeway',
    { knobs: [knob('a4', 450, 430), knob('leeway', 0, 25)] },
    plain(),
    [199.98, 89.8, 25, 85.18, 4, 2],
  ],
  ['a wide leeway', tuned({ leewayCents: 600 }), plain(), [199.98, 50, 115, 34.98, 4, 2]],
  ['temper', tuned({ strategy: 'temper' }), plain(3), [199.98, 50, 0, 49.99, 3, 2]],
  [
    'temper with notes that stay',
    tuned({ strategy: 'temper', held: 'stay' }),
    plain(3),
    [199.98, 50, 115, -65.01, 4, 1],
  ],
  [
    'an octave of wheel',
    { ...tuned({ strategy: 'pull' }), ...wheel(12) },
    plain(2),
    [1199.85, 50, 115, -1164.88, 14, 0],
  ],
  ['the widest wheel', wheel(96), { ...MPE, bendRange: 96 }, [9598.83, 50, 8, -58, 97, 95]],
  ['a pedal board with a wheel', wheel(12, { channels: [] }), plain(1), [0, 50, 8, 41.99, 1, 0]],
  ['an input that another outlet plays', wheel(12), { ...plain(1), from: ['Pads'] }, [0, 50, 8, 41.99, 1, 0]],
  ['a switch that holds the drift', rule('hold-drift'), plain(), [199.98, 50, 115, 34.98, 4, 2]],
  ['a switch to the next strategy', rule('next-strategy'), plain(), [199.98, 50, 115, 34.98, 4, 2]],
  ['a switch to free', rule('strategy', 'free'), plain(), [199.98, 50, 115, 34.98, 4, 2]],
  ['a switch to temper', rule('strategy', 'temper'), plain(), [199.98, 50, 8, 141.98, 3, 3]],
  ['a switch that raises the limit', rule('limit-up'), plain(), [199.98, 75, 8, 116.98, 3, 3]],
])('the headroom with %s is as derived by hand', (_name, changes, outlet, figures) => {
  const headroom = toHeadroom({ ...DEFAULT_LIVE_SETTINGS, ...changes }, outlet) as Headroom;
  const { wheelCents, tuningCents, driftCents, spareCents, wantedRange, wantedWheel } = headroom;
  const [, , , , range] = figures;
  const found = [wheelCents, tuningCents, driftCents, spareCents, wantedRange ?? 97, wantedWheel];
  found.forEach((figure, i) => {
    expect([i, figure.toFixed(2)]).toEqual([i, figures[i].toFixed(2)]);
  });
  expect(wantedRange === undefined).toBe(range > 96);
});

test('an outlet that sends no bends has no headroom', () => {
  const outlet = { ...DEFAULT_OUTLET, kind: 'mts' as const };
  expect(toHeadroom(DEFAULT_LIVE_SETTINGS, outlet)).toBeUndefined();
  expect(toHeadroomJson({ ...DEFAULT_LIVE_SETTINGS, outlets: [outlet, plain(2)] })).toEqual([
    null,
    {
      port: 'Leeway',
      fits: false,
      rangeCents: 199.98,
      wheelCents: 199.98,
      slideCents: 0,
      tuningCents: 50,
      driftCents: 8,
      spareCents: -58,
      wantedRange: 3,
      wantedWheel: 1,
    },
  ]);
});

describe.each(STRATEGIES)('the default bend ranges of live playing, under %s', (strategy) => {
  test.each(['mpe', 'multichannel'] as const)('leave room for a default wheel: %s', (kind) => {
    for (const limit of [3, 5, 7, 11, 13] as const) {
      const outlet = { ...DEFAULT_OUTLET, kind };
      const settings = { ...DEFAULT_LIVE_SETTINGS, tuner: toSettings({ strategy, limit }) };
      expect(toHeadroom(settings, outlet)!.spareCents).toBeGreaterThan(0);
    }
  });
});

/** Settings under which the headroom counts all that can happen: see there for a fast pull and held notes. */
const counted = settings().map((chosen): TunerSettings => {
  const leewayCents = chosen.strategy === 'free' ? Infinity : Math.min(chosen.leewayCents, 12);
  return { ...chosen, leewayCents, rateCentsPerSecond: Math.min(chosen.rateCentsPerSecond, 3) };
});
/** Commas of drift before the playing begins. */
const commas = fc.nat(9);
/** Where the wheel is, as a part of its reach. */
const share = fc.oneof(fc.constantFrom(-1, 0, 1), fc.double({ min: -1, max: 1, noNaN: true }));

test('where an outlet is said to fit, every note is at its pitch plus the wheel, and nothing clamps', () => {
  forAll(
    [playing(60), counted, commas, share, fc.integer({ min: 1, max: 3 })],
    150,
    (events, tuner, passes, at, reach) => {
      const { wantedRange } = toHeadroom({ ...DEFAULT_LIVE_SETTINGS, tuner, ...wheel(reach) }, plain())!;
      const bent = playBent(events, tuner, {
        passes,
        rangeSemitones: wantedRange!,
        wheelCents: at * reach * 100,
      });
      expect(bent.clampedBends).toBe(0);
      expect(bent.errorCents).toBeLessThanOrEqual((50 * wantedRange!) / 8192 + 1e-6);
    },
  );
});

test.each<[string, Partial<TunerSettings>]>([
  ['free', { strategy: 'free' }],
  ['free, limit 7', { strategy: 'free', limit: 7 }],
  ['free, limit 3', { strategy: 'free', limit: 3, home: homeOn('pythagorean', 'C'), referenceCents: 60 }],
  ['pull', { strategy: 'pull' }],
  ['anchored', { strategy: 'anchored' }],
  ['anchored, limit 13', { strategy: 'anchored', limit: 13, leewayCents: 12 }],
  ['anchored, a meantone home', { strategy: 'anchored', home: homeOn('meantone', 'C') }],
  ['temper, limit 7', { strategy: 'temper', limit: 7 }],
])('where more than 50 cents are missing, some playing clamps: %s', (_name, changes) => {
  const tuner = toSettings(changes);
  const { tuningCents, driftCents } = toHeadroom({ ...DEFAULT_LIVE_SETTINGS, tuner }, plain())!;
  const wheelCents = 400 - (tuningCents + driftCents) + 50;
  let clamps = 0;
  forAll([playing(60), commas, fc.constantFrom(-1, 1)], 600, (events, passes, way) => {
    if (clamps > 0) return;
    const bent = playBent(events, tuner, { passes, rangeSemitones: 4, wheelCents: way * wheelCents });
    clamps = bent.clampedBends;
  });
  expect(clamps).toBeGreaterThan(amongAll(0));
});

describe('an input with MPE zones', () => {
  test.each([
    ['auto', 0],
    ['off', 0],
    ['lower', 1199.85],
    ['upper', 1199.85],
    ['both', 1199.85],
  ] as const)('by the setting %s is reckoned to slide by %f cents', (mpe, slideCents) => {
    const live = { ...DEFAULT_LIVE_SETTINGS, ...wheel(2, { mpe }) };
    expect(toHeadroom(live, MPE)!.slideCents).toBeCloseTo(slideCents, 2);
    expect(toHeadroom(live, MPE)!.spareCents).toBeGreaterThan(3000);
  });

  test('needs 15 semitones on plain channels', () => {
    const live = { ...DEFAULT_LIVE_SETTINGS, ...wheel(2, { mpe: 'lower' }) };
    expect(toHeadroom(live, plain())).toMatchObject({ wantedRange: 15 });
    expect(toHeadroom(live, plain(15))!.spareCents).toBeGreaterThan(0);
    expect(toHeadroom(live, plain(14))!.spareCents).toBeLessThan(0);
  });
});
