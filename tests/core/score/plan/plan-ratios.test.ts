import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Effort, STOCK_EFFORT } from '../../../../src/core/score/plan/effort.js';
import { toEndDrift, toPathCost } from '../../../../src/core/score/plan/path-cost.js';
import { planRatios, type RatioPlan, toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { formatRatio, sameClass, UNISON } from '../../../../src/core/theory/index.js';
import { createChooser, createSeeds, STOCK_WEIGHTS, toSettings } from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords } from '../../../support/planning.js';

const FREE = toSettings({ strategy: 'free' });
const SETTINGS = { ...FREE, weights: toPlanWeights(STOCK_WEIGHTS) };
const CHOOSER = createChooser(SETTINGS);
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);

function plan(notes: readonly SmallNote[], end: 'open' | 'home', effort?: Effort) {
  const { problem, live } = pose(notes, FREE);
  const ratios: RatioPlan = planRatios(problem, [live], SETTINGS, end, effort);
  return { problem, live, ratios };
}

/** Notes enough for a beam to lose its way in. */
const pieces = smallPieces(24);

describe('planned ratios', () => {
  it('are never dearer than what the live rule makes of the piece, and never cheaper than the bound', () => {
    fc.assert(
      fc.property(pieces, fc.integer({ min: 1, max: 8 }), fc.boolean(), (notes, width, stock) => {
        const { problem, live, ratios } = plan(
          notes,
          'open',
          stock ? undefined : { ...STOCK_EFFORT, width, fan: 2, slack: 3 },
        );
        const liveCost = toPathCost(problem, CHOOSER, SEEDS, live);
        expect(ratios.liveCost).toBeCloseTo(liveCost, 9);
        expect(ratios.cost).toBeLessThanOrEqual(liveCost + 1e-9);
        expect(ratios.cost).toBeCloseTo(toPathCost(problem, CHOOSER, SEEDS, ratios.path), 9);
        expect(ratios.leastCost).toBeLessThanOrEqual(ratios.cost + 1e-9);
      }),
    );
  });

  it('are cheaper than the live rule’s for many pieces of some length: it can’t see what comes', () => {
    const outcomes = fc
      .sample(smallPieces(30), { numRuns: 40, seed: 5 })
      .map((notes) => plan(notes, 'open').ratios);
    expect(outcomes.filter(({ cost, liveCost }) => cost < liveCost - 0.01).length).toBeGreaterThan(8);
  });

  it('end where they began, if that is asked for, whatever is played', () => {
    fc.assert(
      fc.property(pieces, fc.integer({ min: 1, max: 8 }), (notes, width) => {
        const { problem, ratios } = plan(notes, 'home', { ...STOCK_EFFORT, width, fan: 2, slack: 3 });
        const drift = toEndDrift(problem, (slot) => ratios.path[slot]);
        expect(sameClass(drift, UNISON)).toBe(true);
        expect(ratios.cost).toBeCloseTo(toPathCost(problem, CHOOSER, SEEDS, ratios.path), 9);
      }),
    );
  });

  it('bring a long row of pumps home at no more than a fraction of keeping every key class still', () => {
    const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5'];
    // Slow enough that the live rule drifts a comma each time.
    const notes = toChords([...pump, ...pump, ...pump, ...pump, 'C3 E4 G4 C5'], true, 4000);
    const open = plan(notes, 'open');
    const home = plan(notes, 'home');
    const stays = open.problem.slots.map(({ keyClass }) => open.live[open.problem.firstSlots[keyClass]]);
    expect(home.ratios.cost).toBeLessThan(toPathCost(open.problem, CHOOSER, SEEDS, stays));
    expect(home.ratios.cost).toBeGreaterThanOrEqual(open.ratios.cost - 1e-9);
  });

  it('are the live rule’s, or stay where they began, if nothing is looked at', () => {
    const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5', 'C3 E4 G4 C5'];
    const notes = toChords(pump, true, 4000);
    const nothing = { ...STOCK_EFFORT, width: 0, fan: 1, slack: 0 };
    const open = plan(notes, 'open', nothing);
    expect(open.ratios.path).toEqual(open.live);
    expect(open.ratios.cost).toBe(open.ratios.liveCost);
    expect(formatRatio(toEndDrift(open.problem, (slot) => open.ratios.path[slot]))).toBe('80/81');
    const home = plan(notes, 'home', nothing);
    expect(toEndDrift(home.problem, (slot) => home.ratios.path[slot])).toEqual(UNISON);
    expect(home.ratios.cost).toBeCloseTo(toPathCost(home.problem, CHOOSER, SEEDS, home.ratios.path), 9);
  });

  it('of no notes cost nothing', () => {
    const { ratios } = plan([], 'home');
    expect(ratios).toEqual({ path: [], cost: 0, liveCost: 0, leastCost: 0 });
  });
});
