import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
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
import { DEFAULT_WEIGHTS, HELD, LOOSE } from '../../../src/core/tuner/index.js';
import {
  CONTRADICTION,
  listPlaces,
  plus,
  type RigidPart,
  StruckClasses,
  toBound,
  toPlaceCost,
  toPoint,
  toRigidChord,
} from '../../../src/core/tuner/places.js';
import { homeOn } from '../../support/play.js';
import { amongAll, forAll } from '../../support/properties.js';
import { type Heard, hear, heardShades, heldAt, strike, toClass } from '../../support/surroundings.js';

const ALONE = (keyClass: number): RigidPart => ({ classes: [keyClass], steps: [UNISON] });
const MAJOR = toRigidChord(
  strike([0, 4, 7]),
  Int32Array.of(0, 0, 0, 0, 4, 0, 0, 1, 0, 0, 0, 0),
  toConsonances(5),
)![0];

test.each([
  [0, 0, '1/1'],
  [1, 0, '3/2'],
  [4, 0, '81/64'],
  [4, 1, '5/4'],
  [-3, -1, '6/5'],
  [8, 2, '25/16'],
  [2, 1, '10/9'],
])('a point that is %i fifths from the tonic and %i commas down is %s', (fifths, commas, text) => {
  expect(formatRatio(withKeys(toPoint(fifths, commas, UNISON), toClass(fifths)))).toBe(text);
});

test('a point has the same letter and accidental whatever primes above 5 it has', () => {
  const high = fc.integer({ min: -3, max: 3 });
  forAll([fc.integer({ min: -20, max: 20 }), high, high, high, high], (fifths, commas, a, b, c) => {
    const point = toPoint(fifths, commas, [9, 9, 9, a, b, c]);
    expect(toFifths(point)).toBe(fifths);
    expect(point.slice(2)).toEqual([commas, a, b, c]);
  });
});

describe('the places of a part', () => {
  test('where nothing is held, are near what has just ended, and not where music was long ago', () => {
    const ended = { fifths: 0, commas: 0, ageSeconds: 0.3, binding: 0 };
    const old = { fifths: 2, commas: 6, ageSeconds: 5, binding: 0 };
    const commasOf = (heard: Heard[]) =>
      listPlaces(hear(heard), ALONE(2), 2, 1, 16).map(({ root }) => toCommas(root));
    expect(Math.max(...commasOf([ended, old]))).toBe(1);
    // After a long rest all that is remembered counts.
    expect(Math.max(...commasOf([{ ...ended, ageSeconds: 4 }, old]))).toBe(7);
  });

  test('are those within a comma of what was heard, the cheapest first', () => {
    // Beside a held C⁰, D may be 9/8, 10/9, or a comma over the one.
    const places = listPlaces(hear([heldAt('1/1')]), ALONE(2), 2, 1, 8);
    expect(places.map(({ root }) => toCommas(root)).sort()).toEqual([-1, 0, 1]);
    const costs = places.map(({ cost }) => cost);
    expect([...costs].sort((a, b) => a - b)).toEqual(costs);
  });

  test('are such that any of its notes comes near to any that was heard', () => {
    forAll(
      [
        fc.array(
          heardShades.map((one): Heard => ({ ...one, binding: HELD })),
          { minLength: 1, maxLength: 4 },
        ),
        fc.integer({ min: -5, max: 6 }),
        fc.integer({ min: 0, max: 3 }),
      ],
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
    );
  });

  test('are on the line of fifths where the part is spelled', () => {
    forAll(
      [
        fc.array(heardShades, { maxLength: 6 }),
        fc.integer({ min: -9, max: 9 }),
        fc.integer({ min: 1, max: 12 }),
      ],
      (heard, fifths, most) => {
        const places = listPlaces(hear(heard), MAJOR, fifths, 1, most);
        expect(places.length).toBeGreaterThan(0);
        expect(places.length).toBeLessThanOrEqual(most);
        for (const { root, cost } of places) {
          expect(toFifths(root)).toBe(fifths);
          expect(cost).toBe(toPlaceCost(hear(heard), MAJOR, root));
        }
      },
    );
  });

  test('leave out what is silent and far away from all that is held', () => {
    const remembered: Heard = { fifths: 0, commas: 9, ageSeconds: 0, binding: 0 };
    const commasOf = (heard: readonly Heard[]) =>
      listPlaces(hear(heard), ALONE(2), 2, 1, 99).map(({ root }) => toCommas(root));
    expect(commasOf([remembered])).toContain(9);
    expect(Math.max(...commasOf([remembered, heldAt('1/1')]))).toBe(1);
  });

  test('are one alone in the 3-limit, and at home where nothing was heard', () => {
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

  test('have the primes above 5 that sound', () => {
    const surroundings = hear([]);
    surroundings.hear(ratio('7/4'), 10, 0, HELD);
    surroundings.level = ratio('7/4');
    for (const { root } of listPlaces(surroundings, ALONE(0), 0, 1, 8)) {
      expect(root[3]).toBe(1);
      expect(Math.abs(toCommas(root) - toCommas(ratio('7/4')))).toBeLessThanOrEqual(1);
    }
  });
});

test('a part costs what its notes cost', () => {
  forAll([fc.array(heardShades, { maxLength: 6 }), fc.integer({ min: -3, max: 3 })], (heard, commas) => {
    const surroundings = hear(heard);
    const root = toPoint(0, commas, UNISON);
    const sum = MAJOR.classes.reduce(
      (cost, keyClass, i) => cost + surroundings.costAt(keyClass, plus(root, MAJOR.steps[i])),
      0,
    );
    expect(toPlaceCost(surroundings, MAJOR, root)).toBeCloseTo(sum, 9);
  });
});

test('a step from a point is exact, without octaves', () => {
  const [point, step]: PrimeVector[] = [
    [3, 1, 2, -1, 0, 1],
    [-2, 1, -1, 0, 0, 0],
  ];
  expect(plus(point, step)).toEqual([0, 2, 1, -1, 0, 1]);
  expect(sameClass(divide(plus(point, step), point), step)).toBe(true);
  expect(plus(point, UNISON)).toBe(point);
});

const JUST = toConsonances(5);
const TRIADS = [
  [0, 4, 1],
  [0, -3, 1],
];

/** Where a chord that hangs together is wanted beside what is heard. */
function boundOf(heard: readonly Heard[], places: readonly number[], consonances = JUST) {
  const fifths = new Int32Array(12);
  for (const place of places) fifths[toClass(place)] = place;
  const [part] = toRigidChord(strike(places.map(toClass)), fifths, JUST)!;
  return { part, bound: toBound(hear(heard), part, fifths, consonances) };
}

function nameBound(
  heard: readonly Heard[],
  places: readonly number[],
  consonances = JUST,
): string | undefined {
  const { bound } = boundOf(heard, places, consonances);
  if (bound === undefined || bound === CONTRADICTION) return bound;
  return formatRatio(withKeys(bound, toClass(places[0])));
}

describe('held notes as bonds', () => {
  test.each<[string, string[], number[], string | undefined]>([
    ['a fifth says where a note stands', ['1/1'], [1], '3/2'],
    ['a third does', ['5/3'], [-1], '4/3'],
    ['so it does of all that hangs together with it', ['5/3'], [2, -1], '10/9'],
    ['a second says nothing', ['1/1'], [2], undefined],
    ['nor does an augmented second', ['6/5'], [6], undefined],
    ['two may agree', ['1/1', '3/2'], [4], '5/4'],
    ['or not', ['1/1', '40/27'], [4], CONTRADICTION],
  ])('bind the struck chord as they should: %s', (_name, heard, places, wanted) =>
    expect(nameBound(heard.map(heldAt), places)).toBe(wanted),
  );

  test('bind by the given consonances alone', () => {
    expect(nameBound([heldAt('1/1'), heldAt('40/27')], [4], toConsonances(3))).toBeUndefined();
    expect(nameBound([heldAt('27/16'), heldAt('1/1')], [4], toConsonances(3))).toBe('81/64');
  });

  test('bind with their primes above 5', () => {
    const surroundings = hear([]);
    surroundings.hear(ratio('63/64'), 0, 0, HELD);
    const [part] = toRigidChord(strike([7]), Int32Array.of(0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0), JUST)!;
    const fifths = Int32Array.of(0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0);
    expect(toBound(surroundings, part, fifths, JUST)).toEqual([0, 3, 0, 1, 0, 0]);
  });
});

test('a note that only a pedal holds, or is silent, binds nothing', () => {
  for (const binding of [LOOSE, 0]) expect(nameBound([{ ...heldAt('1/1'), binding }], [1])).toBeUndefined();
});

test('a bound chord has every consonance with held notes just', () => {
  let bounds = 0;
  forAll(
    [fc.array(heardShades, { maxLength: 3 }), fc.constantFrom(...TRIADS), fc.integer({ min: -4, max: 5 })],
    (heard, triad, by) => {
      const places = triad.map((place) => place + by);
      const { part, bound } = boundOf(heard, places);
      if (bound === undefined || bound === CONTRADICTION) return;
      bounds++;
      for (const step of part.steps) {
        const point = plus(bound, step);
        for (const one of heard) {
          const just = JUST.get(toFifths(point) - one.fifths);
          if (one.binding === HELD && just !== undefined) expect(point[2] - one.commas).toBe(just[2]);
        }
      }
    },
  );
  expect(bounds).toBeGreaterThan(amongAll(20));
});

const notes = (...classes: readonly number[]) => classes.map((keyClass) => ({ keyClass }));

test('struck notes are counted by key class, in ascending order, whatever was counted before', () => {
  const struck = new StruckClasses();
  struck.count(notes(7, 0, 7, 11));
  expect([...struck.classes.slice(0, struck.size)]).toEqual([0, 7, 11]);
  expect([...struck.counts]).toEqual([1, 0, 0, 0, 0, 0, 0, 2, 0, 0, 0, 1]);
  struck.count(notes(4));
  expect([...struck.classes.slice(0, struck.size)]).toEqual([4]);
  expect(struck.counts[7]).toBe(0);
});

test('struck key classes are left out on request, but their notes are counted', () => {
  const struck = new StruckClasses();
  struck.count(notes(10, 0, 4), [10]);
  expect([...struck.classes.slice(0, struck.size)]).toEqual([0, 4]);
  expect(struck.counts[10]).toBe(1);
});
