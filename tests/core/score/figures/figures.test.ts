import { describe, expect, test } from 'vitest';
import { toPureShare } from '../../../../src/core/score/figures/figures.js';
import {
  type HeardNote,
  toCourse,
  toEqual,
  toPieceFigures,
} from '../../../../src/core/score/figures/index.js';

const JUST = [
  0, 11.7313, 3.91, 15.6413, -13.6863, -1.955, -9.7763, 1.955, 13.6863, -15.6413, 17.5963, -11.7313,
];

/** A note that stands still, some cents off 12 equal. */
function note(key: number, onMs: number, offMs: number, off = 0): HeardNote {
  return { key, part: 0, isFixed: false, onMs, offMs, pitch: [{ atMs: onMs, cents: 100 * key + off }] };
}

const equal = () => 0;

describe('toPieceFigures', () => {
  test('finds a just triad pure and without beats, and none of its intervals pure in 12 equal', () => {
    const triad = [0, 4, 7].map((k) => note(60 + k, 0, 2000, JUST[k]));
    const just = toPieceFigures(triad, equal);
    expect(just.purePercent).toBe(100);
    for (const rate of Object.values(just.beats)) expect(rate).toBeLessThan(0.05);
    const tempered = toPieceFigures(toEqual(triad, 0), equal);
    expect(tempered.purePercent).toBe(0);
    // C–E in 12 equal beats 10.4 times a second and C–G 0.9: J. Neurosci. 32(35), 12251, 2012, Table 1.
    expect(tempered.beats['major third']).toBeCloseTo(10.4, 1);
    expect(tempered.beats.fifth).toBeCloseTo(0.9, 1);
    expect(tempered.roughness).toBeGreaterThan(just.roughness);
    expect(tempered.farthestCents).toBe(0);
    expect(just.farthestCents).toBeCloseTo(Math.abs(JUST[4] + JUST[7]) / 3, 6);
  });

  test('counts an interval that is pure half of the time as half pure', () => {
    const low = note(60, 0, 1000);
    const moving = {
      ...note(67, 0, 1000, 1.955),
      pitch: [
        { atMs: 0, cents: 6701.955 },
        { atMs: 500, cents: 6710 },
      ],
    };
    const figures = toPieceFigures([low, moving], equal);
    expect(figures.purePercent).toBeCloseTo(50, 9);
    expect(figures.travelCents).toBeCloseTo(8.045, 6);
    expect(figures.glideRmsCents).toBeCloseTo(8.045 / Math.SQRT2, 6);
  });

  test('counts notes that come back elsewhere, unless they sounded long ago', () => {
    const figures = toPieceFigures(
      [note(60, 0, 100), note(60, 200, 300, -21.5), note(60, 9000, 9100)],
      equal,
    );
    expect(figures.shiftedPercent).toBe(100);
    expect(figures.shiftRmsCents).toBeCloseTo(21.5, 9);
    expect(figures.travelCents).toBeCloseTo(21.5, 9);
  });

  test('leaves short intervals out of the beats, and has none where there are no others', () => {
    const { beats } = toPieceFigures([note(60, 0, 300), note(64, 0, 300)], equal);
    expect(beats).toEqual({ 'minor third': null, 'major third': null, fifth: null });
  });

  test('has figures for silence too', () => {
    expect(toPieceFigures([], equal)).toMatchObject({
      notes: 0,
      purePercent: 100,
      travelCents: 0,
      roughness: 0,
    });
  });
});

test('toCourse has rows of equal length, each the mean over its time, with null in silence', () => {
  const course = toCourse([note(60, 0, 1000, -4), note(60, 1500, 2000, -8)], equal, 4000, 4);
  expect(course.atMs).toEqual([500, 1500, 2500, 3500]);
  expect(course.meanCents).toEqual([-4, -8, null, null]);
  expect(course.pure).toEqual([null, null, null, null]);
});

test('toCourse counts a change in the middle of a row by its time', () => {
  const { meanCents, pure } = toCourse([note(60, 0, 1000, 0), note(67, 250, 1000, 1.955)], equal, 1000, 1);
  expect(meanCents[0]).toBeCloseTo(0.75 * (1.955 / 2), 9);
  expect(pure).toEqual([1]);
});

describe('the intervals that purity counts', () => {
  test('leave out seconds, sevenths and the tritone', () => {
    const all = [note(60, 0, 1000), note(67, 0, 1000, 1.955), note(66, 0, 1000), note(61, 0, 1000)];
    // C–G is pure; C–F♯, C–D♭, F♯–G are nothing of the kind; D♭–F♯ and D♭–G♭ is a fourth 2 c off.
    expect(toPieceFigures(all, equal).purePercent).toBeCloseTo(50, 9);
    const standing = all.map((one) => ({ note: one, cents: one.pitch[0].cents }));
    expect(toPureShare(standing)).toBeCloseTo(1 / 2, 9);
    expect(toPureShare(standing.slice(2, 3))).toBeUndefined();
  });

  test('a key struck again under its own longer note does not count as coming back', () => {
    // Two players: the first holds C for two seconds, the second strikes it in between, 10 c higher.
    const figures = toPieceFigures([note(60, 0, 2000), note(60, 500, 600, 10), note(60, 2100, 2200)], equal);
    // The short one comes back 10 c away; the last stands where the long one stood.
    expect(figures.shiftedPercent).toBeCloseTo(50, 9);
  });

  test('a note of no length counts in no figure', () => {
    const figures = toPieceFigures([note(60, 0, 1000), note(64, 500, 500)], equal);
    expect(figures.purePercent).toBe(toPieceFigures([note(60, 0, 1000)], equal).purePercent);
    expect(figures.roughness).toBe(toPieceFigures([note(60, 0, 1000)], equal).roughness);
  });
});
