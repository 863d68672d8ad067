import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { WIDEST_CENTS } from '../../../../src/core/score/plan/comma-steps.js';
import { toPlanDrift } from '../../../../src/core/score/plan/plan-drift.js';
import { toPlanWeights } from '../../../../src/core/score/plan/plan-ratios.js';
import type { PlanProblem } from '../../../../src/core/score/plan/problem.js';
import { findWayHome, takeWayHome, toReturnCents } from '../../../../src/core/score/plan/way-home.js';
import {
  divide,
  formatRatio,
  multiply,
  type PrimeVector,
  ratio,
  sameClass,
  UNISON,
} from '../../../../src/core/theory/index.js';
import {
  createChooser,
  DEFAULT_WEIGHTS,
  STRATEGIES,
  type Strategy,
  toSettings,
} from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords } from '../../../support/planning.js';
import { amongAll, forAll } from '../../../support/properties.js';

const SETTINGS = toSettings({ strategy: 'free' });
const CHOOSER = createChooser({ ...SETTINGS, weights: toPlanWeights(DEFAULT_WEIGHTS) });

function goHome(notes: readonly SmallNote[], strategy: Strategy = 'free') {
  const { problem, live } = pose(notes, SETTINGS);
  const way = findWayHome(problem, CHOOSER, live, live, toSettings({ strategy }));
  return { problem, live, way, path: takeWayHome(problem, live, way) };
}

function driftOf(problem: PlanProblem, path: readonly PrimeVector[]): PrimeVector {
  return toPlanDrift(problem, path).commas;
}

/** A row of pumps, slow enough that the live rule drifts a comma each time. */
function toPumps(passes: number): SmallNote[] {
  const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5'];
  const chords = Array.from({ length: passes }, () => pump).flat();
  return toChords([...chords, 'C3 E4 G4 C5'], true, 4000);
}

describe('the way home', () => {
  test('leaves no drift at the end, and the harmony within each strike as it was, wherever it went', () => {
    const steps = fc.array(fc.constantFrom('1/1', '81/80', '80/81', '128/125'), {
      minLength: 10,
      maxLength: 10,
    });
    let drifting = 0;
    forAll([smallPieces(24), steps, fc.constantFrom(...STRATEGIES)], (notes, commas, strategy) => {
      const { problem, live } = pose(notes, SETTINGS);
      const walk = commas.map((_, i) =>
        commas
          .slice(0, i + 1)
          .map(ratio)
          .reduce(multiply),
      );
      const drifted = live.map((point, slot) => multiply(point, walk[problem.slots[slot].strike]));
      if (!sameClass(driftOf(problem, drifted), UNISON)) drifting += 1;
      const way = findWayHome(problem, CHOOSER, drifted, drifted, toSettings({ strategy }));
      const path = takeWayHome(problem, drifted, way);
      expect(sameClass(driftOf(problem, path), UNISON)).toBe(true);
      for (const { first, end } of problem.strikes) {
        const moved = path.slice(first, end).map((point, i) => divide(point, drifted[first + i]));
        for (const one of moved) expect(sameClass(one, moved[0])).toBe(true);
      }
    });
    expect(drifting).toBeGreaterThan(amongAll(10));
  });

  test('has no returns where there is no drift', () => {
    const { way, live, path } = goHome(toChords(['C4 E4 G4', 'C4 F4 A4', 'C4 E4 G4']));
    expect(way).toEqual({ returns: [], cost: 0 });
    expect(path).toEqual(live);
  });

  test.each([3, 12])(
    'goes by a comma a pass through %i pumps, with never two returns in one reach',
    (passes) => {
      const { problem, live, way } = goHome(toPumps(passes));
      expect(sameClass(driftOf(problem, live), UNISON)).toBe(false);
      expect(way.returns).toHaveLength(passes);
      way.returns.forEach(({ comma, cents, strike, held }, i) => {
        expect(formatRatio(comma)).toBe('81/80');
        expect(cents).toBeLessThanOrEqual(WIDEST_CENTS);
        // Something is tied at every strike.
        expect(held).toBeGreaterThan(0);
        expect(held).toBeLessThanOrEqual(2);
        if (i > 0) expect(strike - way.returns[i - 1].strike).toBeGreaterThan(1);
      });
      const cents = toReturnCents(problem, way);
      expect(cents.reduce((sum, value) => sum + value, 0)).toBeCloseTo(passes * 21.5063, 3);
    },
  );

  test('goes where nothing is held, if there is such a place', () => {
    const [first, second] = [toPumps(1), toPumps(1)];
    // A rest of a second between two passes.
    const later = second.map(({ onMs, offMs, key }) => ({ onMs: onMs + 21_000, offMs: offMs + 21_000, key }));
    const { problem, way } = goHome([...first, ...later]);
    const free = way.returns.filter(({ held }) => held === 0);
    expect(free).toHaveLength(1);
    expect(problem.strikes[free[0].strike].atMs).toBe(21_000);
  });

  test('goes in wider steps where there is no room for narrow ones', () => {
    // Two chords, and the second two commas low: there is one place only.
    const { problem } = pose(toChords(['C4 G4', 'C4 G4'], false), SETTINGS);
    const path: PrimeVector[] = [UNISON, [0, 1, 0, 0, 0, 0], [0, -8, 2, 0, 0, 0], [0, -7, 2, 0, 0, 0]];
    const way = findWayHome(problem, CHOOSER, path, path, SETTINGS);
    expect(way.returns.map(({ strike, comma }) => [strike, formatRatio(comma)])).toEqual([[1, '6561/6400']]);
  });

  test('costs nothing by itself where the common offset makes up for it', () => {
    const rest = toPumps(1).map(({ onMs, offMs, key }) => ({
      onMs: onMs + 21_000,
      offMs: offMs + 21_000,
      key,
    }));
    const notes = [...toPumps(1), ...rest];
    const [free, anchored, pull] = (['free', 'anchored', 'pull'] as const).map((strategy) => {
      const { returns, cost } = goHome(notes, strategy).way;
      return returns.some(({ held }) => held === 0) ? cost : Number.NaN;
    });
    expect(anchored).toBeLessThan(free);
    expect(pull).toBeLessThan(free);
  });
});
