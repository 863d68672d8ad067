import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fillSurroundings, type Spot, toSpot } from '../../../../src/core/score/plan/path-cost.js';
import { type PrimeVector, ratio, sameClass, toFifths, UNISON } from '../../../../src/core/theory/index.js';
import {
  createChooser,
  createSeeds,
  DEFAULT_WEIGHTS,
  HELD,
  Surroundings,
  toSettings,
} from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

const SETTINGS = toSettings({ strategy: 'free' });
const CHOOSER = createChooser({ ...SETTINGS, weights: DEFAULT_WEIGHTS });
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);

/** What is heard before a strike of a piece that is tuned as the live rule has it. */
function hearAt(notes: readonly SmallNote[], at: number) {
  const { problem, live } = pose(notes, SETTINGS);
  const surroundings = new Surroundings(CHOOSER);
  fillSurroundings(surroundings, problem, problem.strikes[at], (slot) => toSpot(live[slot]), SEEDS);
  return { problem, live, surroundings };
}

test('what is heard before a strike is what its context says, wherever the context is', () => {
  forAll([smallPieces(12), fc.nat(5)], (notes, nth) => {
    const count = pose(notes, SETTINGS).problem.strikes.length;
    const { problem, live, surroundings } = hearAt(notes, nth % count);
    const { context } = problem.strikes[nth % count];
    fc.pre(context.length > 0);
    for (const { slot, keyClass } of context) {
      expect(surroundings.includes(keyClass)).toBe(true);
      const known = surroundings.points.slice(0, surroundings.size);
      expect(known.some((point) => sameClass(point, live[slot]))).toBe(true);
    }
    expect(surroundings.size).toBeLessThanOrEqual(context.length);
    const held = context.filter(({ binding }) => binding === HELD);
    expect(surroundings.bindings.slice(0, surroundings.size).some((one) => one === HELD)).toBe(
      held.length > 0,
    );
    expect(surroundings.homeLean).toBe(0);
  });
});

test('what is heard before a strike is home before the first strike, with each key class at its place', () => {
  const { surroundings } = hearAt(
    [60, 64, 67].map((key) => ({ onMs: 0, offMs: 500, key })),
    0,
  );
  expect(surroundings.isSilent).toBe(true);
  expect(surroundings.size).toBe(3);
  for (const keyClass of [0, 4, 7]) {
    const at = surroundings.keyClasses.indexOf(keyClass);
    expect(surroundings.points[at]).toEqual(SEEDS[keyClass]);
  }
});

test('every point has a number that no other has', () => {
  const point = fc
    .tuple(fc.integer({ min: -30, max: 30 }), fc.integer({ min: -30, max: 30 }))
    .map(([three, five]): PrimeVector => [0, three, five, 0, 0, 0]);
  forAll([point, point], (a, b) => {
    const [one, other]: Spot[] = [toSpot(a), toSpot(b)];
    expect(one.place === other.place).toBe(sameClass(a, b));
    expect(toFifths(one.point)).toBe(toFifths(a));
  });
  expect(toSpot(UNISON).place).toBe(0);
  expect(toSpot(ratio('3/1')).place).toBe(toSpot(ratio('3/2')).place);
});
