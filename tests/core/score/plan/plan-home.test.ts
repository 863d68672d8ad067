import { describe, expect, test } from 'vitest';
import { WIDEST_CENTS } from '../../../../src/core/score/plan/comma-steps.js';
import { toPathCost } from '../../../../src/core/score/plan/path-cost.js';
import { toPlanDrift } from '../../../../src/core/score/plan/plan-drift.js';
import { planHome, toWidestMove } from '../../../../src/core/score/plan/plan-home.js';
import { planRatios, toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import { findWayHome, takeWayHome } from '../../../../src/core/score/plan/way-home.js';
import {
  multiply,
  type PrimeVector,
  ratio,
  sameClass,
  toDeviationCents,
  UNISON,
} from '../../../../src/core/theory/index.js';
import {
  createChooser,
  createSeeds,
  DEFAULT_WEIGHTS,
  type TunerSettings,
  toSettings,
} from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

const FREE = toSettings({ strategy: 'free' });
const CHOICE = { ...FREE, weights: toPlanWeights(DEFAULT_WEIGHTS) };
const CHOOSER = createChooser(CHOICE);
const SEEDS = createSeeds(FREE.home, FREE.limit);
const PUMP = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5'];

function plan(notes: readonly SmallNote[], settings: TunerSettings = FREE) {
  const { problem, live } = pose(notes, FREE);
  const open = planRatios(problem, [live], CHOICE);
  return { problem, open, home: planHome(problem, open, CHOICE, settings) };
}

describe('a plan that ends where it began', () => {
  test('has no drift at the end, and costs what it says', () => {
    forAll([smallPieces(20)], (notes) => {
      const { problem, home } = plan(notes);
      const { path, cost } = home.ratios;
      expect(sameClass(toPlanDrift(problem, path).commas, UNISON)).toBe(true);
      expect(cost).toBeCloseTo(toPathCost(problem, CHOOSER, SEEDS, path), 9);
      expect(home.points).toEqual(path);
    });
  });

  test('is the open plan where the open plan comes home by itself', () => {
    const { open, home } = plan(toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 G4 B4', 'C4 E4 G4']));
    expect(home.ratios.path).toEqual(open.path);
    expect(home.wayHome.returns).toEqual([]);
  });

  test('moves nothing by more than a comma beyond what the open plan asks, however far that drifts', () => {
    for (const passes of [6, 15, 45]) {
      const chords = Array.from({ length: passes }, () => PUMP).flat();
      const { problem, open, home } = plan(toChords([...chords, PUMP[0]], true, 4000));
      expect(sameClass(toPlanDrift(problem, open.path).commas, UNISON)).toBe(false);
      expect(toWidestMove(problem, home.ratios.path, open.path)).toBeLessThanOrEqual(WIDEST_CENTS);
    }
  });

  test('never costs more than the open plan with its own way home', () => {
    for (const chordMs of [500, 2000, 4000]) {
      const chords = Array.from({ length: 6 }, () => PUMP).flat();
      const { problem, open, home } = plan(toChords([...chords, PUMP[0]], true, chordMs));
      const way = findWayHome(problem, CHOOSER, open.path, open.path, FREE);
      const returned = toPathCost(problem, CHOOSER, SEEDS, takeWayHome(problem, open.path, way));
      expect(home.ratios.cost).toBeLessThanOrEqual(returned + 1e-4);
      expect(home.wayHome.returns.length).toBe(6);
    }
  });

  test('brings higher primes home too', () => {
    const settings = toSettings({ strategy: 'free', limit: 7 });
    const sevens = ['C3 E4 G4 A#4', 'F3 A4 C4 D#4', 'G3 B4 D4 F4'];
    const notes = toChords([...sevens, ...sevens, 'C3 E4 G4'], true, 2000);
    const { problem, home } = plan(notes, settings);
    expect(home.points.some((point) => point[3] !== 0)).toBe(true);
    expect(sameClass(toPlanDrift(problem, home.points).commas, UNISON)).toBe(true);
  });
});

const SETTINGS = toSettings({ strategy: 'free' });
const COMMA = ratio('81/80');
const COMMA_CENTS = toDeviationCents(COMMA);

test("a plan home's widest move is the widest step between neighbouring strikes beyond what is asked", () => {
  const { problem, live } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 G4 B4', 'C4 E4 G4'], false), SETTINGS);
  const moved = (commas: (strike: number, keyClass: number) => number): PrimeVector[] =>
    live.map((point, slot) => {
      const { strike, keyClass } = problem.slots[slot];
      let product = point;
      for (let i = 0; i < commas(strike, keyClass); i++) product = multiply(product, COMMA);
      return product;
    });
  const widest = (path: PrimeVector[]) => toWidestMove(problem, path, live);
  expect(widest([...live])).toBe(0);
  expect(widest(moved(() => 2))).toBeCloseTo(0, 9);
  expect(widest(moved((strike) => Number(strike >= 2)))).toBeCloseTo(COMMA_CENTS, 9);
  // Two at different strikes are each by itself; two at one are not.
  expect(widest(moved((strike) => Number(strike >= 1) + Number(strike >= 3)))).toBeCloseTo(COMMA_CENTS, 9);
  expect(widest(moved((strike) => 2 * Number(strike >= 1)))).toBeCloseTo(2 * COMMA_CENTS, 9);
});

test('a plan home checks a note held over a return against what comes after the return too', () => {
  const { problem, live } = pose(toChords(['C4 E4', 'C4 F4', 'C4 G4']), SETTINGS);
  const path = live.map((point, slot) => {
    let product = point;
    for (let at = 1; at <= problem.slots[slot].strike; at++) product = multiply(product, COMMA);
    return product;
  });
  // C is held from the first strike to the last, and two returns lie between.
  expect(toWidestMove(problem, path, live)).toBeCloseTo(2 * COMMA_CENTS, 9);
});
