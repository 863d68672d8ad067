import { expect, test } from 'vitest';
import { toHeadroom } from '../../../src/app/live/headroom.js';
import {
  DEFAULT_INPUT,
  DEFAULT_LIVE_SETTINGS,
  DEFAULT_OUTLET,
  type OutletConfig,
} from '../../../src/app/live/live-settings.js';
import { formatHeadroom, toHeadroomRemarks } from '../../../src/cli/format/headroom.js';

const playing = (wheel: number, outlet: Partial<OutletConfig>) => ({
  ...DEFAULT_LIVE_SETTINGS,
  inputs: [{ ...DEFAULT_INPUT, bendRange: wheel }],
  outlets: [{ ...DEFAULT_OUTLET, ...outlet }],
});

// 50 cents of tuning and 8 of drift; a semitone of range carries 99.99 cents upward.
test.each([
  [
    2,
    { kind: 'multichannel' as const },
    'wheel 200 c, tuning 50 c, drift 8 c; of 400 c that leaves 141 c to spare',
  ],
  [
    12,
    { kind: 'multichannel' as const, bendRange: 2 },
    'wheel 1200 c, tuning 50 c, drift 8 c; 200 c falls 1058 c short',
  ],
])('headroom is written in one line: wheel %d over %j', (wheel, outlet, line) => {
  const settings = playing(wheel, outlet);
  expect(formatHeadroom(toHeadroom(settings, settings.outlets[0])!)).toBe(line);
});

test.each([
  [2, {}, []],
  [2, { kind: 'multichannel' as const }, []],
  [96, { kind: 'mts' as const }, []],
  [
    12,
    { kind: 'multichannel' as const, bendRange: 2 },
    [
      'the bend range of "Leeway", 2 semitones, is too small: the pitch wheel may stop up to 1058 c early. Set bend-range = 13 for the outlet, and the same on the synth, or let the wheel reach 1 semitone at most',
    ],
  ],
  [
    96,
    { bendRange: 96 },
    [
      'the bend range of "Leeway", 96 semitones, is too small: the pitch wheel may stop up to 58 c early. Let the wheel reach 95 semitones at most',
    ],
  ],
])(
  'a bend range that is too small is remarked on, with what to set: wheel %d over %j',
  (wheel, outlet, remarks) => {
    expect(toHeadroomRemarks(playing(wheel, outlet))).toEqual(remarks);
  },
);

test('where tuning and drift alone are beyond the range, the remark says what becomes of chords', () => {
  const settings = playing(2, { kind: 'multichannel', bendRange: 1 });
  const tuner = { ...settings.tuner, strategy: 'free' as const, leewayCents: Infinity };
  expect(toHeadroomRemarks({ ...settings, tuner })).toEqual([
    'the bend range of "Leeway", 1 semitone, is too small: the pitch wheel may stop up to 200 c early, and a chord may be up to 66 c out of tune. Set bend-range = 4 for the outlet, and the same on the synth',
  ]);
  expect(toHeadroomRemarks({ ...settings, tuner, inputs: [] })).toEqual([
    'the bend range of "Leeway", 1 semitone, is too small: a chord may be up to 66 c out of tune. Set bend-range = 2 for the outlet, and the same on the synth',
  ]);
});

test('where fingers slide, the remark says that slides stop, and only then that the wheel does', () => {
  const hands = (bendRange: number) => ({
    ...playing(2, { kind: 'multichannel', bendRange }),
    inputs: [{ ...DEFAULT_INPUT, mpe: 'lower' as const }],
  });
  expect(toHeadroomRemarks(hands(14))).toEqual([
    'the bend range of "Leeway", 14 semitones, is too small: a slide over an octave may stop up to 58 c early. Set bend-range = 15 for the outlet, and the same on the synth',
  ]);
  expect(toHeadroomRemarks(hands(2))).toEqual([
    'the bend range of "Leeway", 2 semitones, is too small: a slide over an octave may stop up to 1200 c early, and the pitch wheel may stop up to 58 c early. Set bend-range = 15 for the outlet, and the same on the synth, or let the wheel reach 1 semitone at most',
  ]);
  expect(formatHeadroom(toHeadroom(hands(15), hands(15).outlets[0])!)).toBe(
    'wheel 200 c, slide 1200 c, tuning 50 c, drift 8 c; of 1500 c that leaves 41 c to spare',
  );
});
