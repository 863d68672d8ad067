import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toPathCost } from '../../../../src/core/score/plan/path-cost.js';
import { toPlanDrift } from '../../../../src/core/score/plan/plan-drift.js';
import { planRatios, toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import type { PlanPath, PlanProblem } from '../../../../src/core/score/plan/problem.js';
import { DEFAULT_SHIFT_PRICE } from '../../../../src/core/score/plan/return-prices.js';
import { DEFAULT_EFFORT, type Effort } from '../../../../src/core/score/plan/search.js';
import { ratio, sameClass } from '../../../../src/core/theory/index.js';
import {
  createChooser,
  createSeeds,
  DEFAULT_WEIGHTS,
  toCommaPrice,
  toSettings,
} from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords } from '../../../support/planning.js';
import { amongAll, forAll } from '../../../support/properties.js';

const FREE = toSettings({ strategy: 'free' });
const SETTINGS = { ...FREE, weights: toPlanWeights(DEFAULT_WEIGHTS) };
const CHOOSER = createChooser(SETTINGS);
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);

function plan(notes: readonly SmallNote[], effort?: Effort) {
  const { problem, live } = pose(notes, FREE);
  return { problem, live, ratios: planRatios(problem, [live], SETTINGS, effort) };
}

/** How many notes come back at another point than their key class last had, by the notes alone. */
function countReturns({ notes, slots }: PlanProblem, path: PlanPath): number {
  let returns = 0;
  notes.forEach((note, id) => {
    const { keyClass, strike } = slots[note.slot];
    const before = notes
      .slice(0, id)
      .filter((one) => slots[one.slot].keyClass === keyClass && slots[one.slot].strike < strike);
    // What sounds on comes first, the latest of it; else what ended last.
    const sounding = before.filter((one) => one.until > strike);
    const ended = before.sort((a, b) => a.endedMs - b.endedMs);
    const last = sounding.at(-1) ?? ended.at(-1);
    if (last !== undefined && !sameClass(path[last.slot], path[note.slot])) returns++;
  });
  return returns;
}

/** Notes enough for a beam to lose its way in. */
const pieces = smallPieces(24);

describe('planned ratios', () => {
  test('are never dearer than what the live rule makes of the piece', () => {
    forAll([pieces, fc.integer({ min: 1, max: 8 }), fc.boolean()], (notes, width, isDefault) => {
      const effort = isDefault ? undefined : { ...DEFAULT_EFFORT, width, fan: 2, slack: 3 };
      const { problem, live, ratios } = plan(notes, effort);
      const liveCost = toPathCost(problem, CHOOSER, SEEDS, live);
      expect(ratios.liveCost).toBeCloseTo(liveCost, 6);
      expect(ratios.cost).toBeLessThanOrEqual(liveCost + 1e-6);
      expect(ratios.cost).toBeCloseTo(toPathCost(problem, CHOOSER, SEEDS, ratios.path), 4);
    });
  });

  test('are cheaper than the live rule’s for some pieces: it can’t see what comes', () => {
    const outcomes = fc.sample(smallPieces(30), { numRuns: 100, seed: 5 }).map((notes) => plan(notes).ratios);
    expect(outcomes.filter(({ cost, liveCost }) => cost < liveCost - 0.01).length).toBeGreaterThan(2);
  });

  test('are the cheapest of several that the live rule gives', () => {
    forAll([smallPieces(12)], (notes) => {
      const { problem, live } = pose(notes, FREE);
      // One that costs more, and one that costs less than what is found by looking at nothing.
      const off = live.map((point, i) =>
        i === 0 ? ([0, point[1] + 4, point[2] - 1, 0, 0, 0] as const) : point,
      );
      const nothing = { ...DEFAULT_EFFORT, width: 1, fan: 2, slack: 0, steps: 1 };
      const { path, cost, liveCost } = planRatios(problem, [off, live], SETTINGS, nothing);
      const costs = [off, live].map((one) => toPathCost(problem, CHOOSER, SEEDS, one));
      expect(liveCost).toBeCloseTo(costs[0], 4);
      expect(cost).toBeLessThanOrEqual(Math.min(...costs) + 1e-4);
      expect(toPathCost(problem, CHOOSER, SEEDS, path)).toBeLessThanOrEqual(Math.min(...costs) + 1e-4);
    });
  });

  test('are not known to be the best where the live rule’s are cheaper than all that was found', () => {
    let live = 0;
    forAll([pieces], (notes) => {
      const { ratios } = plan(notes, { ...DEFAULT_EFFORT, width: 1, fan: 2, slack: 0 });
      if (ratios.cost < ratios.liveCost - 1e-6) return;
      live++;
      const best = plan(notes).ratios.cost;
      if (ratios.isBest) expect(ratios.cost).toBeLessThanOrEqual(best + 1e-4);
    });
    expect(live).toBeGreaterThan(amongAll(0));
  });

  test('count how many notes come back elsewhere, planned and live', () => {
    let some = 0;
    forAll([pieces], (notes) => {
      const { problem, live, ratios } = plan(notes);
      expect(ratios.returns).toBe(countReturns(problem, ratios.path));
      expect(ratios.liveReturns).toBe(countReturns(problem, live));
      some += ratios.liveReturns;
    });
    expect(some).toBeGreaterThan(amongAll(0));
  });

  test('of a tied pump drift as the live rule does, for all its chords are pure', () => {
    const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5', 'C3 E4 G4 C5'];
    const { problem, ratios } = plan(toChords(pump, true));
    const drift = toPlanDrift(problem, ratios.path).commas;
    expect(sameClass(drift, ratio('80/81'))).toBe(true);
  });

  test('of no notes cost nothing', () => {
    expect(plan([]).ratios).toEqual({
      path: [],
      cost: 0,
      liveCost: 0,
      isBest: true,
      returns: 0,
      liveReturns: 0,
    });
  });
});

test('the weights of a plan price a note that comes back elsewhere, the more the farther, at the price that was given', () => {
  for (const [asked, price] of [
    [undefined, DEFAULT_SHIFT_PRICE],
    [3, 3],
  ] as const) {
    const { lasting } = toPlanWeights(DEFAULT_WEIGHTS, asked).prices;
    const costs = [0, 1, 2, 3].map((commas) => toCommaPrice(lasting, 0, commas));
    expect(costs.slice(0, 2)).toEqual([0, price]);
    expect([...costs].sort((a, b) => a - b)).toEqual(costs);
    for (const commas of [1, 2, 3])
      expect(toCommaPrice(lasting, 0, -commas)).toBe(toCommaPrice(lasting, 0, commas));
  }
});

test('the weights of a plan weigh spelling a little, lean home at the end alone, and are else the live weights', () => {
  const { prices, homeLean, ...others } = toPlanWeights(DEFAULT_WEIGHTS);
  const { prices: live, homeLean: liveLean, ...liveOthers } = DEFAULT_WEIGHTS;
  expect(others).toEqual(liveOthers);
  expect(homeLean).toBeGreaterThan(0);
  expect(homeLean).toBeLessThanOrEqual(liveLean);
  for (let fifths = 0; fifths <= 6; fifths++) {
    for (let commas = -3; commas <= 3; commas++) {
      expect(toCommaPrice(prices.recent, fifths, commas)).toBe(0);
      const usual = toCommaPrice(live.sounding, fifths, commas);
      expect(toCommaPrice(prices.sounding, fifths, commas)).toBeLessThanOrEqual(usual / 10);
    }
  }
});
