import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
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

const SETTINGS = toSettings({});
const COMMA = ratio('81/80');
const COMMA_CENTS = toDeviationCents(COMMA);

describe('the planned offset', () => {
  it('where moves cost nothing, is what brings each chord home', () => {
    const { problem, live } = pose(toChords(['C4 E4 G4', 'D4 F4 A4'], false), SETTINGS);
    const offset = planOffset(problem, live, SETTINGS, 0);
    problem.strikes.forEach(({ first, end }, at) => {
      const cents = live.slice(first, end).map(toDeviationCents);
      expect(offset[at]).toBeCloseTo(-cents.reduce((a, b) => a + b) / cents.length, 5);
    });
  });

  it('where a move costs everything, stands still while something sounds on', () => {
    const { problem, live } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4']), SETTINGS);
    const [a, b, c] = planOffset(problem, live, SETTINGS, 1e6);
    expect(b - a).toBeCloseTo(0, 3);
    expect(c - b).toBeCloseTo(0, 3);
  });

  it('meets a chord that comes back a comma lower with a comma up, if nothing else has to move', () => {
    const { problem } = pose(toChords(['C4 G4', 'C4 G4'], false), SETTINGS);
    const path = ['1/1', '3/2', '80/81', '40/27'].map(ratio);
    const [before, after] = planOffset(problem, path, SETTINGS, 1000);
    expect(after - before).toBeCloseTo(COMMA_CENTS, 2);
  });

  it('is moved by a note that comes back lower soon, not by one that comes back when it is forgotten', () => {
    const move = (backMs: number) => {
      const back = { onMs: backMs, offMs: backMs + 1000 };
      const notes = [
        { onMs: 0, offMs: 1000, key: 60 },
        { ...back, key: 60 },
        { ...back, key: 67 },
      ];
      const { problem } = pose(notes, SETTINGS);
      // C comes back a comma lower; with a G so high that the chord is at home as it is.
      const path = ['1/1', '80/81', '243/160'].map(ratio);
      const [before, after] = planOffset(problem, path, SETTINGS, 1000);
      return after - before;
    };
    expect(move(1000)).toBeCloseTo(COMMA_CENTS, 1);
    expect(Math.abs(move(1e6))).toBeLessThan(3);
    // It is forgotten 16 seconds after it ended.
    expect(move(16_900)).toBeGreaterThan(15);
    expect(Math.abs(move(17_100))).toBeLessThan(3);
  });

  it('goes down where everything is tuned higher, and by as much', () => {
    fc.assert(
      fc.property(
        smallPieces(10),
        fc.integer({ min: -3, max: 3 }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (notes, commas, smooth) => {
          const { problem, live } = pose(notes, SETTINGS);
          const higher: PrimeVector[] = live.map((point) => multiply(point, power(COMMA, commas)));
          const one = planOffset(problem, live, SETTINGS, smooth);
          planOffset(problem, higher, SETTINGS, smooth).forEach((cents, i) => {
            expect(cents).toBeCloseTo(one[i] - commas * COMMA_CENTS, 5);
          });
        },
      ),
    );
  });

  it('moves less the more it is to be smoothed', () => {
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
