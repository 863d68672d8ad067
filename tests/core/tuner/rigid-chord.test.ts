import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { divide, formatRatio, sameClass, toFifths, withKeys } from '../../../src/core/theory/index.js';
import { toConsonances } from '../../../src/core/tuner/consonance.js';
import { type RigidPart, toRigidChord } from '../../../src/core/tuner/places.js';
import { forAll } from '../../support/properties.js';
import { strike, toClass } from '../../support/surroundings.js';

const JUST = toConsonances(5);

/** The parts of notes spelled so. */
function partsOf(places: readonly number[], consonances = JUST): RigidPart[] | undefined {
  const fifths = new Int32Array(12);
  for (const place of places) fifths[toClass(place)] = place;
  return toRigidChord(strike(places.map(toClass)), fifths, consonances);
}

/** Ratios of a part to its first key class, by key class. */
const ratiosOf = ({ classes, steps }: RigidPart) =>
  Object.fromEntries(
    classes.map((keyClass, i) => [
      keyClass,
      formatRatio(withKeys(steps[i], (keyClass - classes[0] + 12) % 12)),
    ]),
  );

test.each<[string, number[], Record<number, string>[]]>([
  ['one note', [0], [{ 0: '1/1' }]],
  ['a major triad', [0, 4, 1], [{ 0: '1/1', 4: '5/4', 7: '3/2' }]],
  ['a minor triad', [0, -3, 1], [{ 0: '1/1', 3: '6/5', 7: '3/2' }]],
  ['a chain of fifths', [0, 1, 2], [{ 0: '1/1', 7: '3/2', 2: '9/8' }]],
  ['a whole tone: each by itself', [0, 2], [{ 0: '1/1' }, { 2: '1/1' }]],
  [
    'two pairs of fifths a tritone apart',
    [0, 1, 6, 7],
    [
      { 0: '1/1', 7: '3/2' },
      { 6: '1/1', 1: '3/2' },
    ],
  ],
  ['an augmented triad: G♯ is no third under C', [0, 4, 8], [{ 0: '1/1', 4: '5/4', 8: '25/16' }]],
  ['A♭ with C and E', [-4, 0, 4], [{ 8: '1/1', 0: '5/4', 4: '25/16' }]],
  ['a diminished seventh chord', [5, 2, -1, -4], [{ 11: '1/1', 2: '6/5', 5: '36/25', 8: '216/125' }]],
  ['an augmented second: each by itself', [-3, 6], [{ 3: '1/1' }, { 6: '1/1' }]],
])('notes struck together form a rigid chord: %s', (_name, places, ratios) =>
  expect(partsOf(places)?.map(ratiosOf)).toEqual(ratios),
);

test('notes struck together form no rigid chord where their consonances contradict each other', () => {
  expect(partsOf([0, 1, 2, 3, 4])).toBeUndefined();
  expect(partsOf([0, 1, 2, 3])).toBeUndefined();
  // In the 3-limit thirds are no consonances.
  expect(partsOf([0, 1, 2, 3, 4], toConsonances(3))).toHaveLength(1);
  expect(partsOf([0, 4], toConsonances(3))).toHaveLength(2);
});

describe('the rigid parts of any notes', () => {
  /** Notes by their places on the line of fifths, each key class once. */
  const places = fc
    .uniqueArray(fc.integer({ min: -6, max: 8 }), { minLength: 1, maxLength: 6, selector: toClass })
    .map((list) => list);

  test('are the notes that consonances lead to from each other', () => {
    forAll([places], (list) => {
      const parts = partsOf(list);
      fc.pre(parts !== undefined);
      // Each note starts in a group of its own; every consonance joins two.
      let groups = list.map((place) => [place]);
      for (const a of list)
        for (const b of list) {
          if (!JUST.has(a - b)) continue;
          const both = groups.filter((group) => group.includes(a) || group.includes(b));
          groups = [...groups.filter((group) => !both.includes(group)), both.flat()];
        }
      const toSets = (all: readonly (readonly number[])[]) =>
        all.map((group) => [...group].sort((a, b) => a - b).join()).sort();
      expect(toSets(parts.map(({ classes }) => classes))).toEqual(
        toSets(groups.map((group) => group.map(toClass))),
      );
    });
  });

  test('have every consonance just, and keep the spelling', () => {
    forAll([places], (list) => {
      for (const { classes, steps } of partsOf(list) ?? []) {
        const placeOf = (keyClass: number) => list.find((place) => toClass(place) === keyClass)!;
        steps.forEach((step, i) => {
          expect(toFifths(step)).toBe(placeOf(classes[i]) - placeOf(classes[0]));
          steps.forEach((other, j) => {
            const just = JUST.get(placeOf(classes[i]) - placeOf(classes[j]));
            if (just !== undefined) expect(sameClass(divide(step, other), just)).toBe(true);
          });
        });
      }
    });
  });

  test('exist whenever notes have places at which every consonance is just', () => {
    forAll([places], (list) => {
      // A shade for each note, commas from -3 to 3: brute force.
      const canBe = (commas: readonly number[]): boolean => {
        const i = commas.length;
        if (i === list.length) return true;
        for (let own = -3; own <= 3; own++) {
          const isJust = commas.every((other, j) => {
            const just = JUST.get(list[i] - list[j]);
            return just === undefined || just[2] === own - other;
          });
          if (isJust && canBe([...commas, own])) return true;
        }
        return false;
      };
      expect(partsOf(list) !== undefined).toBe(canBe([]));
    });
  });
});
