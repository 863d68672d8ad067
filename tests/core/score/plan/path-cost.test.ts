import { describe, expect, test } from 'vitest';
import { toEndPrice, toPathCost } from '../../../../src/core/score/plan/path-cost.js';
import { toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { type PrimeVector, ratio } from '../../../../src/core/theory/index.js';
import { createChooser, createSeeds, DEFAULT_WEIGHTS, toSettings } from '../../../../src/core/tuner/index.js';
import { pose, toChords } from '../../../support/planning.js';

const SETTINGS = toSettings({ strategy: 'free' });
const CHOOSER = createChooser({ ...SETTINGS, weights: toPlanWeights(DEFAULT_WEIGHTS) });
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);

function costOf(chords: readonly string[], path: readonly string[]): number {
  return toPathCost(pose(toChords(chords), SETTINGS).problem, CHOOSER, SEEDS, path.map(ratio));
}

describe('the cost of a piece', () => {
  test('is more with an impure third, and more with a note that comes back elsewhere', () => {
    const pure = costOf(['C4 E4'], ['1/1', '5/4']);
    expect(costOf(['C4 E4'], ['1/1', '81/64'])).toBeGreaterThan(pure + 2);
    const stays = costOf(['C4 G4', 'D4', 'C4 G4'], ['1/1', '3/2', '9/8', '1/1', '3/2']);
    const moves = costOf(['C4 G4', 'D4', 'C4 G4'], ['1/1', '3/2', '9/8', '80/81', '40/27']);
    expect(moves).toBeGreaterThan(stays + 2);
  });

  test('counts a note that comes back the less the longer ago it sounded', () => {
    const moves = (restMs: number) => {
      const notes = [
        { onMs: 0, offMs: 500, key: 60 },
        { onMs: 500 + restMs, offMs: 1000 + restMs, key: 60 },
        // It ends with another note, which is at home.
        { onMs: 1000 + restMs, offMs: 2000 + restMs, key: 66 },
      ];
      const { problem } = pose(notes, SETTINGS);
      const of = (back: string) => toPathCost(problem, CHOOSER, SEEDS, ['1/1', back, '45/32'].map(ratio));
      return of('81/80') - of('1/1');
    };
    const costs = [100, 1000, 5000, 20_000].map(moves);
    expect([...costs].sort((a, b) => b - a)).toEqual(costs);
    expect(costs[0]).toBeGreaterThan(20 * costs[3]);
  });

  test('has no part for the distance from home of a held note, which is the offset’s', () => {
    const low = costOf(['C4 E4', 'C4 E4 G4'], ['80/81', '100/81', '40/27']);
    const home = costOf(['C4 E4', 'C4 E4 G4'], ['1/1', '5/4', '3/2']);
    expect(low - home).toBeLessThan(0.5);
  });

  test('is raised more by an impurity than by any note that comes back elsewhere', () => {
    const chords = ['D4 A4', 'C4 A4', 'D4 C4'];
    // A, held over from the fifth on D, may be pure to the C that comes and drag it along.
    const pure = costOf(chords, ['9/8', '27/16', '81/80', '9/8']);
    const wolf = costOf(chords, ['9/8', '27/16', '1/1', '9/8']);
    expect(wolf).toBeGreaterThan(pure + 1000);
  });
});

describe('the price of the ending', () => {
  const { problem } = pose(toChords(['C4 E4 G4', 'D4 F4 A4', 'C4 E4 G4 B4']), SETTINGS);
  const endOf = (path: readonly string[]) => {
    const points: PrimeVector[] = path.map(ratio);
    return toEndPrice(problem, CHOOSER, (slot) => points[slot]);
  };

  test('is that of a cent away from home for what most notes of the last chord share', () => {
    const price = endOf('1/1 5/4 3/2 10/9 4/3 5/3 80/81 100/81 40/27 50/27'.split(' '));
    expect(price).toBeCloseTo(21.5063 * CHOOSER.weights.homeLean, 4);
  });

  test('is none where the piece ends as it began', () => {
    const price = endOf(['1/1', '5/4', '3/2', '10/9', '4/3', '5/3', '1/1', '5/4', '3/2', '15/8']);
    expect(price).toBe(0);
  });
});
