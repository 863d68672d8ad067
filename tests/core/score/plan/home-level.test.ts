import { describe, expect, it } from 'vitest';
import { toHomeLevel } from '../../../../src/core/score/plan/home-level.js';
import { toSpot } from '../../../../src/core/score/plan/surroundings.js';
import { multiply, type PrimeVector } from '../../../../src/core/theory/index.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, toChords } from '../../../support/planning.js';

const COMMA_UP: PrimeVector = [0, 4, -1, 0, 0, 0];
const SCHISMA: PrimeVector = [0, 8, 1, 0, 0, 0];

describe('the level of a strike', () => {
  const { problem, live } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'C4 E4 G4'], false), toSettings({}));
  const last = problem.strikes[2];
  // By chord and key class: how far each stands from where the class first stood.
  const level = (ratioOf: (strike: number, keyClass: number) => PrimeVector | undefined) => {
    const spots = problem.slots.map(({ strike, keyClass }) => {
      const home = live[problem.firstSlots[keyClass]];
      const ratio = ratioOf(strike, keyClass);
      return toSpot(ratio === undefined ? home : multiply(home, ratio));
    });
    return toHomeLevel(problem, last, spots.slice(last.first, last.end), (slot) => spots[slot], 7);
  };

  it('is 0 where everything stands where it first stood', () => {
    expect(level(() => undefined)).toBe(0);
  });

  it('counts commas up and down', () => {
    expect(level((strike) => (strike === 2 ? COMMA_UP : undefined))).toBe(1);
    expect(level((strike) => (strike === 2 ? [0, -8, 2, 0, 0, 0] : undefined))).toBe(-2);
  });

  it('tells what is near home from what is there', () => {
    expect(level((strike) => (strike === 2 ? SCHISMA : undefined))).toBe(0.5);
    expect(level((strike, keyClass) => (strike === 2 && keyClass === 4 ? COMMA_UP : undefined))).toBe(0.5);
  });

  it('tells a strike that came home by itself from one that has all before it at home too', () => {
    expect(level((strike, keyClass) => (strike === 1 && keyClass === 0 ? COMMA_UP : undefined))).toBe(0.25);
  });

  it('is that of the strike before where all is new', () => {
    const [first] = problem.strikes;
    const spots = live.map(toSpot);
    expect(toHomeLevel(problem, first, spots.slice(0, first.end), (slot) => spots[slot], 3)).toBe(3);
  });
});
