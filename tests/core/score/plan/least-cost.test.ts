import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toLeastRest } from '../../../../src/core/score/plan/least-cost.js';
import { toPathCost } from '../../../../src/core/score/plan/path-cost.js';
import { toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { multiply, power, ratio } from '../../../../src/core/theory/index.js';
import { createChooser, createSeeds, STOCK_WEIGHTS, toSettings } from '../../../../src/core/tuner/index.js';
import { pose, smallPieces, toChords } from '../../../support/planning.js';

const SETTINGS = toSettings({ strategy: 'free' });
const CHOOSER = createChooser({ ...SETTINGS, weights: toPlanWeights(STOCK_WEIGHTS) });
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);
const COMMAS = ['81/80', '128/125', '32805/32768'].map(ratio);

describe('the least a piece can cost', () => {
  it('is never more than it does, whatever it is tuned to', () => {
    const moves = fc.array(fc.tuple(fc.nat(2), fc.integer({ min: -2, max: 2 })), {
      minLength: 1,
      maxLength: 12,
    });
    fc.assert(
      fc.property(smallPieces(12), moves, (notes, commas) => {
        const { problem, live } = pose(notes, SETTINGS);
        const path = live.map((point, i) => {
          const [which, times] = commas[i % commas.length];
          return multiply(point, power(COMMAS[which], times));
        });
        const [least] = toLeastRest(problem, CHOOSER);
        for (const one of [live, path])
          expect(toPathCost(problem, CHOOSER, SEEDS, one)).toBeGreaterThanOrEqual(least - 1e-9);
      }),
    );
  });

  it('is what a single pure chord costs, but for where it stands on the line of fifths', () => {
    for (const names of ['C4 E4 G4', 'A3 C4 E4', 'G3 B3 D4 F4']) {
      const { problem, live } = pose(toChords([names]), SETTINGS);
      const chooser = createChooser({
        ...SETTINGS,
        weights: { ...toPlanWeights(STOCK_WEIGHTS), fifthsPrice: 0 },
      });
      const [least] = toLeastRest(problem, chooser);
      expect(toPathCost(problem, chooser, SEEDS, live)).toBeCloseTo(least, 4);
    }
  });

  it('takes each pair at its cheapest where a chord is more than can be looked at', () => {
    const names = 'C4 C#4 D4 G4 G#4 A4';
    const { problem } = pose(toChords([names]), SETTINGS);
    const { slots, strikes } = problem;
    let pairs = 0;
    slots.forEach((one, i) => {
      slots.slice(0, i).forEach((other, j) => {
        const keys = (one.keyClass - other.keyClass + 12) % 12;
        pairs += strikes[0].pairWeights[i * slots.length + j] * CHOOSER.pairCost.least[keys];
      });
    });
    const [least] = toLeastRest(problem, CHOOSER);
    expect(pairs).toBeLessThan(least - 0.01);
    for (const steps of [1, 10, 50]) expect(toLeastRest(problem, CHOOSER, steps)[0]).toBeCloseTo(pairs, 9);
    expect(toLeastRest(problem, CHOOSER, 1000)[0]).toBe(least);
  });

  it('counts from each strike on', () => {
    const { problem } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 G4 B4']), SETTINGS);
    const rest = toLeastRest(problem, CHOOSER);
    expect(rest).toHaveLength(4);
    expect(rest[3]).toBe(0);
    for (let i = 0; i < 3; i++) expect(rest[i]).toBeGreaterThan(rest[i + 1]);
  });
});
