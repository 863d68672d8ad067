import { describe, expect, test } from 'vitest';
import { toPathCost } from '../../../../src/core/score/plan/path-cost.js';
import { toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { toReturnPrices } from '../../../../src/core/score/plan/return-prices.js';
import { multiply, ratio } from '../../../../src/core/theory/index.js';
import { createChooser, createSeeds, DEFAULT_WEIGHTS, toSettings } from '../../../../src/core/tuner/index.js';
import { pose, smallPieces, toChords } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

const SETTINGS = toSettings({ strategy: 'free' });
// Where a return leads, away from home, is no matter of its place.
const WEIGHTS = { ...toPlanWeights(DEFAULT_WEIGHTS), homeLean: 0 };
const CHOOSER = createChooser({ ...SETTINGS, weights: WEIGHTS });
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);
const COMMA = ratio('81/80');

describe('the price of a return', () => {
  test('is by how much dearer the piece is with all from that strike on a comma away', () => {
    forAll([smallPieces(10)], (notes) => {
      const { problem, live } = pose(notes, SETTINGS);
      const costs = toReturnPrices(problem, CHOOSER, live, COMMA, true);
      const plain = toPathCost(problem, CHOOSER, SEEDS, live);
      for (let at = 1; at < problem.strikes.length; at++) {
        const moved = live.map((point, slot) =>
          problem.slots[slot].strike < at ? point : multiply(point, COMMA),
        );
        expect(costs[at]).toBeCloseTo(toPathCost(problem, CHOOSER, SEEDS, moved) - plain, 4);
      }
    });
  });

  test('is zero where memory doesn’t count and nothing is held', () => {
    const { problem, live } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'C4 E4 G4'], false), SETTINGS);
    const costs = toReturnPrices(problem, CHOOSER, live, COMMA, false);
    expect([...costs]).toEqual([0, 0, 0]);
    expect(toReturnPrices(problem, CHOOSER, live, COMMA, true)[1]).toBeGreaterThan(1);
  });

  test('is high where it leaves consonances impure against held notes, and not for dissonances', () => {
    const priceOf = (second: string) => {
      const { problem, live } = pose(toChords(['C4', `C4 ${second}`]), SETTINGS);
      return toReturnPrices(problem, CHOOSER, live, COMMA, false)[1];
    };
    expect(priceOf('D4')).toBeLessThan(100);
    expect(priceOf('F#4')).toBeLessThan(100);
    expect(priceOf('E4')).toBeGreaterThan(1e4);
    expect(priceOf('G4')).toBeGreaterThan(50 * priceOf('E4'));
    expect(priceOf('E4 G4')).toBeGreaterThan(priceOf('G4'));
  });
});
