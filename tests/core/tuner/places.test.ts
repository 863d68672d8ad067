import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  divide,
  formatRatio,
  type PrimeVector,
  ratio,
  sameClass,
  toCommas,
  toFifths,
  UNISON,
  withKeys,
} from '../../../src/core/theory/index.js';
import { createChooser } from '../../../src/core/tuner/chooser.js';
import { toConsonances } from '../../../src/core/tuner/consonance.js';
import { DEFAULT_WEIGHTS, HELD } from '../../../src/core/tuner/index.js';
import {
  listPlaces,
  plus,
  type RigidPart,
  toPlaceCost,
  toPoint,
  toRigidChord,
} from '../../../src/core/tuner/places.js';
import { homeOn } from '../../support/play.js';
import { type Heard, hear, heardShades, heldAt, strike, toClass } from '../../support/surroundings.js';

const ALONE = (keyClass: number): RigidPart => ({ classes: [keyClass], steps: [UNISON] });
const MAJOR = toRigidChord(
  strike([0, 4, 7]),
  Int32Array.of(0, 0, 0, 0, 4, 0, 0, 1, 0, 0, 0, 0),
  toConsonances(5),
)![0];

describe('a point', () => {
  it.each([
    [0, 0, '1/1'],
    [1, 0, '3/2'],
    [4, 0, '81/64'],
    [4, 1, '5/4'],
    [-3, -1, '6/5'],
    [8, 2, '25/16'],
    [2, 1, '10/9'],
  ])('%i fifths from the tonic and %i commas down is %s', (fifths, commas, text) => {
    expect(formatRatio(withKeys(toPoint(fifths, commas, UNISON), toClass(fifths)))).toBe(text);
  });

  it('keeps its letter and accidental whatever primes above 5 it has', () => {
    const high = fc.integer({ min: -3, max: 3 });
    fc.assert(
      fc.property(fc.integer({ min: -20, max: 20 }), high, high, high, high, (fifths, commas, a, b, c) => {
        const point = toPoint(fifths, commas, [9, 9, 9, a, b, c]);
        expect(toFifths(point)).toBe(fifths);
        expect(point.slice(2)).toEqual([commas, a, b, c]);
      }),
    );
  });
});

describe('the places of a part', () => {
  it('where nothing is held, are near what has just ended, and not where music was long ago', () => {
    const ended = { fifths: 0, commas: 0, ageSeconds: 0.3, binding: 0 };
    const old = { fifths: 2, commas: 6, ageSeconds: 5, binding: 0 };
    const commasOf = (heard: Heard[]) =>
      listPlaces(hear(heard), ALONE(2), 2, 1, 16).map(({ root }) => toCommas(root));
    expect(Math.max(...commasOf([ended, old]))).toBe(1);
    // After a long rest all that is remembered counts.
    expect(Math.max(...commasOf([{ ...ended, ageSeconds: 4 }, old]))).toBe(7);
  });

  it('are those within a comma of what was heard, the cheapest first', () => {
    // Beside a held C⁰, D may be 9/8, 10/9, or a comma over the one.
    const places = listPlaces(hear([heldAt('1/1')]), ALONE(2), 2, 1, 8);
    expect(places.map(({ root }) => toCommas(root)).sort()).toEqual([-1, 0, 1]);
    const costs = places.map(({ cost }) => cost);
    expect([...costs].sort((a, b) => a - b)).toEqual(costs);
  });

  it('are such that any of its notes comes near to any that was heard', () => {
    fc.assert(
      fc.property(
        fc.array(
          heardShades.map((one): Heard => ({ ...one, binding: HELD })),
          { minLength: 1, maxLength: 4 },
        ),
        fc.integer({ min: -5, max: 6 }),
        fc.integer({ min: 0, max: 3 }),
        (heard, fifths, reach) => {
          const roots = listPlaces(hear(heard), MAJOR, fifths, reach, Infinity).map(({ root }) =>
            toCommas(root),
          );
          for (let commas = -9; commas <= 9; commas++) {
            const isNear = heard.some((one) =>
              MAJOR.steps.some((step) => Math.abs(commas + step[2] - one.commas) <= reach),
            );
            expect(roots.includes(commas)).toBe(isNear);
          }
          expect(new Set(roots).size).toBe(roots.length);
        },
      ),
    );
  });

  it('are on the line of fifths where the part is spelled', () => {
    fc.assert(
      fc.property(
        fc.array(heardShades, { maxLength: 6 }),
        fc.integer({ min: -9, max: 9 }),
        fc.integer({ min: 1, max: 12 }),
        (heard, fifths, most) => {
          const places = listPlaces(hear(heard), MAJOR, fifths, 1, most);
          expect(places.length).toBeGreaterThan(0);
          expect(places.length).toBeLessThanOrEqual(most);
          for (const { root, cost } of places) {
            expect(toFifths(root)).toBe(fifths);
            expect(cost).toBe(toPlaceCost(hear(heard), MAJOR, root));
          }
        },
      ),
    );
  });

  it('leave out what is silent and far away from all that is held', () => {
    const remembered: Heard = { fifths: 0, commas: 9, ageSeconds: 0, binding: 0 };
    const commasOf = (heard: readonly Heard[]) =>
      listPlaces(hear(heard), ALONE(2), 2, 1, 99).map(({ root }) => toCommas(root));
    expect(commasOf([remembered])).toContain(9);
    expect(Math.max(...commasOf([remembered, heldAt('1/1')]))).toBe(1);
  });

  it('are one alone in the 3-limit, and at home where nothing was heard', () => {
    const fifthsOnly = createChooser({
      limit: 3,
      weights: DEFAULT_WEIGHTS,
      home: homeOn('pythagorean', 'C'),
      recallCents: 0,
    });
    expect(listPlaces(hear([heldAt('1/1')], fifthsOnly), ALONE(4), 4, 3, 8).map(({ root }) => root)).toEqual([
      toPoint(4, 0, UNISON),
    ]);
    expect(listPlaces(hear([]), ALONE(4), 4, 1, 8).map(({ root }) => root)).toEqual([toPoint(4, 0, UNISON)]);
  });

  it('have the primes above 5 that sound', () => {
    const surroundings = hear([]);
    surroundings.hear(ratio('7/4'), 10, 0, HELD);
    surroundings.level = ratio('7/4');
    for (const { root } of listPlaces(surroundings, ALONE(0), 0, 1, 8)) {
      expect(root[3]).toBe(1);
      expect(Math.abs(toCommas(root) - toCommas(ratio('7/4')))).toBeLessThanOrEqual(1);
    }
  });
});

it('a part costs what its notes cost', () => {
  fc.assert(
    fc.property(fc.array(heardShades, { maxLength: 6 }), fc.integer({ min: -3, max: 3 }), (heard, commas) => {
      const surroundings = hear(heard);
      const root = toPoint(0, commas, UNISON);
      const sum = MAJOR.classes.reduce(
        (cost, keyClass, i) => cost + surroundings.costAt(keyClass, plus(root, MAJOR.steps[i])),
        0,
      );
      expect(toPlaceCost(surroundings, MAJOR, root)).toBeCloseTo(sum, 9);
    }),
  );
});

it('a step from a point is exact, octaves left out', () => {
  const [point, step]: PrimeVector[] = [
    [3, 1, 2, -1, 0, 1],
    [-2, 1, -1, 0, 0, 0],
  ];
  expect(plus(point, step)).toEqual([0, 2, 1, -1, 0, 1]);
  expect(sameClass(divide(plus(point, step), point), step)).toBe(true);
  expect(plus(point, UNISON)).toBe(point);
});
