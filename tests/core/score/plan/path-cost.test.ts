import { describe, expect, it } from 'vitest';
import { toEndDrift, toEndPrice, toPathCost } from '../../../../src/core/score/plan/path-cost.js';
import { toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { formatRatio, type PrimeVector, ratio } from '../../../../src/core/theory/index.js';
import { createChooser, createSeeds, STOCK_WEIGHTS, toSettings } from '../../../../src/core/tuner/index.js';
import { pose, toChords } from '../../../support/planning.js';

const SETTINGS = toSettings({ strategy: 'free' });
const CHOOSER = createChooser({ ...SETTINGS, weights: toPlanWeights(STOCK_WEIGHTS) });
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);

function costOf(chords: readonly string[], path: readonly string[]): number {
  return toPathCost(pose(toChords(chords), SETTINGS).problem, CHOOSER, SEEDS, path.map(ratio));
}

describe('what a piece costs', () => {
  it('is more with an impure third, and more with a note that comes back elsewhere', () => {
    const pure = costOf(['C4 E4'], ['1/1', '5/4']);
    expect(costOf(['C4 E4'], ['1/1', '81/64'])).toBeGreaterThan(pure + 2);
    const stays = costOf(['C4 G4', 'D4', 'C4 G4'], ['1/1', '3/2', '9/8', '1/1', '3/2']);
    const moves = costOf(['C4 G4', 'D4', 'C4 G4'], ['1/1', '3/2', '9/8', '80/81', '40/27']);
    expect(moves).toBeGreaterThan(stays + 2);
  });

  it('counts an interval by how long it is heard: by the square root', () => {
    const tied = [
      { onMs: 0, offMs: 1000, key: 60 },
      { onMs: 0, offMs: 1000, key: 64 },
    ];
    const cost = (offMs: number) => {
      // A third note, alone, keeps the mean length of a note where it is.
      const notes = [
        ...tied.map((note) => ({ ...note, offMs })),
        { onMs: 20_000, offMs: 23_000 - 2 * offMs, key: 67 },
      ];
      const { problem } = pose(notes, SETTINGS);
      const of = (third: string) => toPathCost(problem, CHOOSER, SEEDS, ['1/1', third, '3/2'].map(ratio));
      return of('81/64') - of('5/4');
    };
    expect(cost(1000) / cost(250)).toBeCloseTo(2, 1);
  });
});

describe('the drift at the end', () => {
  const { problem } = pose(toChords(['C4 E4 G4', 'D4 F4 A4', 'C4 E4 G4 B4']), SETTINGS);
  const endOf = (path: readonly string[]) => {
    const points: PrimeVector[] = path.map(ratio);
    return {
      drift: toEndDrift(problem, (slot) => points[slot]),
      price: toEndPrice(problem, CHOOSER, (slot) => points[slot]),
    };
  };

  it('is what most notes of the last chord share, and costs what a cent away from home costs the tuner', () => {
    const { drift, price } = endOf([
      '1/1',
      '5/4',
      '3/2',
      '10/9',
      '4/3',
      '5/3',
      '80/81',
      '100/81',
      '40/27',
      '50/27',
    ]);
    expect(formatRatio(drift)).toBe('80/81');
    expect(price).toBeCloseTo(21.5063 * STOCK_WEIGHTS.homeLean, 4);
  });

  it('is none where it ends as it began', () => {
    const { drift, price } = endOf(['1/1', '5/4', '3/2', '10/9', '4/3', '5/3', '1/1', '5/4', '3/2', '15/8']);
    expect(formatRatio(drift)).toBe('1/1');
    expect(price).toBe(0);
  });
});
