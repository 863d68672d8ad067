import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  fillSurroundings,
  toEndPrice,
  toPathCost,
  toSpot,
} from '../../../../src/core/score/plan/path-cost.js';
import { toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import type { PlanProblem } from '../../../../src/core/score/plan/problem.js';
import {
  DEFAULT_EFFORT,
  Pool,
  type SearchState,
  searchPlan,
} from '../../../../src/core/score/plan/search.js';
import { type PrimeVector, ratio, toFifths } from '../../../../src/core/theory/index.js';
import {
  createChooser,
  createSeeds,
  DEFAULT_WEIGHTS,
  Surroundings,
  toPairPrice,
  toSettings,
} from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords } from '../../../support/planning.js';
import { amongAll, forAll, times } from '../../../support/properties.js';
import { type Heard, pointOf } from '../../../support/surroundings.js';
import { listAllowed } from '../../../support/ways.js';

const SETTINGS = toSettings({ strategy: 'free' });
const CHOOSER = createChooser({ ...SETTINGS, weights: toPlanWeights(DEFAULT_WEIGHTS) });
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);

const problemOf = (notes: readonly SmallNote[]): PlanProblem => pose(notes, SETTINGS).problem;

const search = (problem: PlanProblem, effort = DEFAULT_EFFORT) => searchPlan(problem, CHOOSER, SEEDS, effort);

/** The cheapest of all paths, each tried, in which every strike is as pure as it can be beside what is held. */
function tryAll(problem: PlanProblem): number {
  let best = Infinity;
  const path: PrimeVector[] = [];
  const visit = (at: number, cost: number): void => {
    if (cost >= best) return;
    const strike = problem.strikes[at];
    if (strike === undefined) {
      best = Math.min(best, cost + toEndPrice(problem, CHOOSER, (slot) => path[slot]));
      return;
    }
    // Each has surroundings of its own: the next strike is tried while this one is still asked.
    const surroundings = new Surroundings(CHOOSER);
    fillSurroundings(surroundings, problem, strike, (slot) => toSpot(path[slot]), SEEDS);
    const struck = problem.slots.slice(strike.first, strike.end);
    const heard = Array.from(
      { length: surroundings.size },
      (_, i): Heard => ({
        fifths: toFifths(surroundings.points[i]),
        commas: surroundings.points[i][2],
        ageSeconds: 0,
        binding: surroundings.bindings[i],
      }),
    );
    const ways = listAllowed(
      struck.map(({ fifths }) => fifths),
      heard,
    ).map((way) => {
      const points = way.map(pointOf);
      let sum = cost;
      points.forEach((point, i) => {
        sum += surroundings.costAt(struck[i].keyClass, point);
        for (const other of points.slice(0, i)) sum += toPairPrice(CHOOSER, point, other);
      });
      return { points, sum };
    });
    for (const { points, sum } of ways.sort((a, b) => a.sum - b.sum)) {
      path.length = strike.first;
      path.push(...points);
      visit(at + 1, sum);
    }
  };
  visit(0, 0);
  return best;
}

/** Nothing is given up. */
const EVERYTHING = { width: Infinity, fan: Infinity, slack: Infinity, steps: Infinity };

describe('the search', () => {
  test('finds the very best on small pieces if it gives nothing up: as cheap as the cheapest of all paths, each tried', () => {
    forAll([smallPieces(5)], 150, (notes) => {
      const problem = problemOf(notes);
      const { path, cost, isBest } = search(problem, EVERYTHING);
      expect(cost).toBeCloseTo(tryAll(problem), 4);
      expect(toPathCost(problem, CHOOSER, SEEDS, path)).toBeCloseTo(cost, 4);
      expect(isBest).toBe(true);
    });
  });

  test('with the default effort misses the best of small pieces next to never, and says so only of what is best', () => {
    let [missed, known] = [0, 0];
    forAll([smallPieces(5)], 150, (notes) => {
      const problem = problemOf(notes);
      const { cost, isBest } = search(problem);
      const best = tryAll(problem);
      expect(cost).toBeGreaterThanOrEqual(best - 1e-4);
      if (isBest) known++;
      if (cost <= best + 1e-4) return;
      missed++;
      expect(isBest).toBe(false);
    });
    expect(missed).toBeLessThan(times(3));
    expect(known).toBeGreaterThan(amongAll(times(75)));
  });

  test('says that nothing is better only if nothing is, however little it looks at', () => {
    let given = 0;
    const effort = fc.record({
      width: fc.integer({ min: 1, max: 4 }),
      fan: fc.integer({ min: 2, max: 4 }),
      slack: fc.constantFrom(0.2, 1),
      steps: fc.constantFrom(3, DEFAULT_EFFORT.steps),
    });
    forAll([smallPieces(5), effort], 150, (notes, little) => {
      const problem = problemOf(notes);
      const { path, cost, isBest } = search(problem, little);
      const best = tryAll(problem);
      expect(cost).toBeGreaterThanOrEqual(best - 1e-4);
      expect(toPathCost(problem, CHOOSER, SEEDS, path)).toBeCloseTo(cost, 4);
      if (isBest) expect(cost).toBeLessThanOrEqual(best + 1e-4);
      else given++;
    });
    expect(given).toBeGreaterThan(amongAll(0));
  });

  test('knows that it may have missed the best, wherever it gave something up', () => {
    // A pump that the best at each moment leads astray.
    const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5'];
    const problem = problemOf(toChords([...pump, ...pump, 'C3 E4 G4 C5'], false));
    expect(search(problem, { ...DEFAULT_EFFORT, width: 1 }).isBest).toBe(false);
    expect(search(problem, { ...DEFAULT_EFFORT, slack: 0 }).isBest).toBe(false);
  });

  test('gives a path of no cost for no notes', () => {
    expect(search(problemOf([]))).toEqual({ path: [], cost: 0, isBest: true });
  });
});

function state(cost: number, ...places: string[]): SearchState {
  const spots = places.map((text) => toSpot(ratio(text)));
  return { cost, spots, parent: undefined, places: [] };
}

describe('a pool of search states', () => {
  test('stores the cheapest of several states with the same future', () => {
    const pool = new Pool();
    for (const one of [state(3, '1/1', '3/2'), state(2, '1/1', '3/2'), state(4, '1/1', '3/2')]) pool.add(one);
    expect(pool.states.map(({ cost }) => cost)).toEqual([2]);
  });

  test('stores states that differ in a place', () => {
    const pool = new Pool();
    for (const one of [state(3, '1/1', '3/2'), state(2, '1/1', '40/27')]) pool.add(one);
    expect(pool.states).toHaveLength(2);
  });

  test('stores states that differ though their hash is the same', () => {
    const pool = new Pool();
    const at = (...places: number[]): SearchState => ({
      ...state(places[0]),
      spots: places.map((place) => ({ ...toSpot(ratio('1/1')), place })),
    });
    // 31 · 1 + 31 = 31 · 2 + 0
    pool.add(at(1, 31));
    pool.add(at(2, 0));
    expect(pool.states.map(({ cost }) => cost)).toEqual([1, 2]);
  });

  test('removes a dearer state of the same future, and no other', () => {
    const pool = new Pool();
    for (const one of [state(3, '1/1'), state(4, '3/2'), state(1, '1/1'), state(2, '1/1')]) pool.add(one);
    expect(pool.states.map(({ cost }) => cost).sort()).toEqual([1, 4]);
  });
});
