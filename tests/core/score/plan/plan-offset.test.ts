import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toStrikeMeans } from '../../../../src/core/score/plan/chord-means.js';
import { planOffset } from '../../../../src/core/score/plan/plan-offset.js';
import {
  multiply,
  type PrimeVector,
  power,
  ratio,
  toDeviationCents,
} from '../../../../src/core/theory/index.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, smallPieces, toChords } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

const SETTINGS = toSettings({});
/** So wide a band that nothing here keeps it. */
const WIDE = toSettings({ leewayCents: 40 });
const COMMA = ratio('81/80');
const COMMA_CENTS = toDeviationCents(COMMA);

describe('the planned offset', () => {
  test('is that of the fixed notes where some sound, and moves beside them as little as it can', () => {
    const { problem, live } = pose(toChords(['C4 E4 G4', 'D4 F4 A4', 'C4 E4 G4'], false), WIDE);
    const fixed = Float64Array.of(Number.NaN, 12, Number.NaN);
    const [a, b, c] = planOffset(problem, live, WIDE, 1e6, fixed);
    expect(b).toBe(12);
    expect([a, c].every((cents) => Math.abs(cents - 12) < 0.6)).toBe(true);
  });

  test('brings each chord home where moves cost nothing', () => {
    const { problem, live } = pose(toChords(['C4 E4 G4', 'D4 F4 A4'], false), SETTINGS);
    const offset = planOffset(problem, live, SETTINGS, 0);
    problem.strikes.forEach(({ first, end }, at) => {
      const cents = live.slice(first, end).map(toDeviationCents);
      expect(offset[at]).toBeCloseTo(-cents.reduce((a, b) => a + b) / cents.length, 5);
    });
  });

  test('does not move while something sounds on, where a move costs everything', () => {
    const { problem, live } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4']), SETTINGS);
    const [a, b, c] = planOffset(problem, live, SETTINGS, 1e6);
    expect(b - a).toBeCloseTo(0, 3);
    expect(c - b).toBeCloseTo(0, 3);
  });

  test('stays where a note was that comes back soon, not where a forgotten one was', () => {
    const move = (backMs: number) => {
      const back = { onMs: backMs, offMs: backMs + 1000 };
      const notes = [
        { onMs: 0, offMs: 1000, key: 60 },
        { ...back, key: 60 },
        { ...back, key: 67 },
      ];
      const { problem } = pose(notes, WIDE);
      // With a G so high that the second chord would have to go down by 22 cents to be at home.
      const path = ['1/1', '1/1', '19683/12800'].map(ratio);
      const [before, after] = planOffset(problem, path, WIDE, 1e5);
      return after - before;
    };
    expect(move(1000)).toBeCloseTo(0, 1);
    expect(move(1e6)).toBeLessThan(-20);
    // It is forgotten 16 seconds after it ended.
    expect(move(16_900)).toBeGreaterThan(-5);
    expect(move(17_100)).toBeLessThan(-20);
  });

  test('does not follow a note that comes back at another ratio', () => {
    const { problem } = pose(toChords(['C4 G4', 'C4 G4', 'C4 G4'], false), WIDE);
    // C comes back a comma lower, G where it was, and for the home of the chord that is nearly the same.
    const path = ['1/1', '3/2', '80/81', '3/2', '80/81', '3/2'].map(ratio);
    const [a, b, c] = planOffset(problem, path, WIDE, 1000);
    expect(b - a).toBeCloseTo(0, 1);
    expect(c - b).toBeCloseTo(0, 1);
  });

  test('makes up for a return of all notes where it happens', () => {
    const { problem } = pose(toChords(['C4 G4', 'C4 G4', 'C4 G4'], false), SETTINGS);
    const path = ['1/1', '3/2', '1/1', '3/2', '81/80', '243/160'].map(ratio);
    const [a, b, c] = planOffset(
      problem,
      path,
      SETTINGS,
      1000,
      undefined,
      Float64Array.of(0, 0, COMMA_CENTS),
    );
    expect(b - a).toBeCloseTo(0, 6);
    expect(c - b).toBeCloseTo(-COMMA_CENTS, 6);
  });

  test('leaves the mean within the leeway at every strike, whatever moves cost, and at home without leeway', () => {
    const smooth = fc.constantFrom(0, 1, 30, 1000);
    forAll([smallPieces(14), smooth, fc.constantFrom(0, 2, 8)], (notes, smoothSeconds, leewayCents) => {
      const settings = { ...SETTINGS, leewayCents };
      const { problem, live } = pose(notes, toSettings({ strategy: 'free' }));
      const offset = planOffset(problem, live, settings, smoothSeconds);
      toStrikeMeans(problem, live, settings).forEach((cents, at) => {
        expect(Math.abs(cents + offset[at])).toBeLessThanOrEqual(leewayCents + 1e-9);
      });
    });
  });

  test('falls by as much as everything is tuned higher', () => {
    forAll(
      [smallPieces(10), fc.integer({ min: -3, max: 3 }), fc.double({ min: 0, max: 100, noNaN: true })],
      (notes, commas, smooth) => {
        const { problem, live } = pose(notes, SETTINGS);
        const higher: PrimeVector[] = live.map((point) => multiply(point, power(COMMA, commas)));
        const one = planOffset(problem, live, SETTINGS, smooth);
        planOffset(problem, higher, SETTINGS, smooth).forEach((cents, i) => {
          expect(cents).toBeCloseTo(one[i] - commas * COMMA_CENTS, 5);
        });
      },
    );
  });

  test('moves less the more it should be smoothed', () => {
    const { problem, live } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4']), SETTINGS);
    // One note is tied at the second strike, two at the third.
    const moved = (smooth: number) => {
      const [a, b, c] = planOffset(problem, live, SETTINGS, smooth);
      return (b - a) ** 2 + 2 * (c - b) ** 2;
    };
    const moves = [0, 1, 10, 100].map(moved);
    expect(moves).toEqual(moves.toSorted((a, b) => b - a));
    expect(moves[3]).toBeLessThan(moves[0] / 100);
  });
});
