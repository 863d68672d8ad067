import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { keyOf } from './play.js';
import { forAll } from './properties.js';
import {
  canBePure,
  canBeSpelled,
  type Impurity,
  isInTriad,
  isLess,
  isPure,
  listMisspelled,
  listSeeming,
  type PlacedNote,
  type SpelledNote,
  toImpurity,
  toLeastImpurity,
} from './pure-placement.js';

/** A note at 3^threes · 5^fives, octaves left out. */
function at(key: number, threes: number, fives: number): PlacedNote {
  return { key, point: [0, threes, fives, 0, 0, 0] };
}

/** A note by its letter and accidental, which say where it is on the line of fifths. */
function spelled(name: string): SpelledNote {
  const [letter, ...accidentals] = name.replace(/\d/, '');
  const fifths = 'FCGDAEB'.indexOf(letter) - 1;
  const sharps = accidentals.reduce((sum, one) => sum + (one === '#' ? 1 : -1), 0);
  return { key: keyOf(name), fifths: fifths + 7 * sharps };
}

const spelledAs = (names: string) => names.split(' ').map(spelled);

/** A note by its name. */
const on = (name: string, threes: number, fives: number) => at(keyOf(name), threes, fives);

const PURE: Impurity = { octaves: 0, fifths: 0, thirds: 0 };

const C = on('C4', 0, 0);
const G = on('G4', 1, 0);
const D = on('D4', 2, 0);
/** A pure major third over F, and a fifth over the lower D. */
const A = on('A4', -1, 1);

describe('a struck chord', () => {
  test.each<[string, PlacedNote[], string, Impurity]>([
    ['a major triad', [], 'C4 E4 G4', PURE],
    ['a doubled minor triad', [], 'A3 C4 E4 A4 E5', PURE],
    ['a major seventh chord', [], 'C4 E4 G4 B4', PURE],
    ['a dominant seventh chord: B F is no consonance', [], 'G3 B3 D4 F4', PURE],
    ['three fifths on each other', [], 'C3 G3 D4', PURE],
    ['an augmented triad: C G# is no third', [], 'C4 E4 G#4', PURE],
    ['a diminished seventh: Eb F# is no third', [], 'C4 Eb4 F#4 A4', PURE],
    // C E, C A and G E are a comma wide when the four fifths are pure.
    ['five keys of a row of fifths', [], 'G3 D4 A4 E5 C4', { ...PURE, thirds: 3 }],
    ['four of them: nothing says that C D is 9/8', [], 'D4 A4 E5 C4', PURE],
    ['D F beside a held C A', [C, A], 'D4 F4', PURE],
    ['D F beside a held C G: the third gives way', [C, G], 'D4 F4', { ...PURE, thirds: 1 }],
    ['E beside a held D A that is a wolf: it joins A', [D, A], 'E5', PURE],
    ['D beside the same: an octave or a fifth', [D, A], 'D5', { ...PURE, fifths: 1 }],
    ['F beside the same: one of two thirds', [D, A], 'F4', { ...PURE, thirds: 1 }],
    ['G beside two C a comma apart', [C, on('C5', 4, -1)], 'G4', { ...PURE, fifths: 1 }],
    ['C beside them', [C, on('C5', 4, -1)], 'C3', { ...PURE, octaves: 1 }],
    ['what has no consonance with the held note', [C], 'D4 F#4', PURE],
  ])('%s', (_name, held, struck, least) => {
    expect(toLeastImpurity(held, spelledAs(struck))).toEqual(least);
    expect(canBePure(held, spelledAs(struck))).toBe(isPure(least));
  });

  test.each<[string, string, Impurity]>([
    ['an augmented triad: two thirds of its three', 'C4 E4 G#4', { ...PURE, thirds: 1 }],
    ['a diminished seventh: three thirds of its four', 'C4 Eb4 F#4 A4', { ...PURE, thirds: 1 }],
    ['a minor triad, whatever it is called', 'C4 D#4 G4', PURE],
  ])('is found by the keys alone: %s', (_name, struck, least) => {
    expect(toLeastImpurity([], spelledAs(struck), 'keys')).toEqual(least);
  });

  test('has a wolf only if the perfect intervals leave no other way', () => {
    // A gives up its third to C. Where it has a fifth to E instead, one of three fifths is a comma off.
    expect(toLeastImpurity([C, G], spelledAs('D5 A5'))).toEqual({ ...PURE, thirds: 1 });
    expect(toLeastImpurity([on('G4', 1, 0), on('E4', 0, 1)], spelledAs('D5 A5'))).toEqual({
      ...PURE,
      fifths: 1,
    });
  });
});

test.each<[string, PlacedNote[], PlacedNote[], Impurity]>([
  ['a pure triad', [], [C, on('E4', 0, 1), G], PURE],
  ['a Pythagorean third, and the sixth above it', [], [C, on('E4', 4, 0), G], { ...PURE, thirds: 2 }],
  ['a wolf fifth to a held note', [A], [D], { ...PURE, fifths: 1 }],
  ['the same doubled: it counts once', [A, on('A5', -1, 1)], [D, on('D5', 2, 0)], { ...PURE, fifths: 1 }],
  ['an octave that isn’t one', [C], [on('C5', 4, -1)], { ...PURE, octaves: 1 }],
  ['a wolf among held notes only', [D, A], [on('F4', -1, 0)], { ...PURE, thirds: 1 }],
])('the impurity of places: %s', (_name, held, struck, impurity) =>
  expect(toImpurity(held, struck)).toEqual(impurity),
);

test('the impurity of places is computed of primes 3 and 5 alone', () => {
  expect(() => toImpurity([], [{ key: 70, point: [0, 0, 0, 1, 0, 0] }])).toThrow(RangeError);
});

describe('the least impurity', () => {
  const place = fc.tuple(fc.integer({ min: -1, max: 1 }), fc.integer({ min: -1, max: 1 }));
  const held = fc.array(
    place.map(([threes, fives]) => at((7 * threes + 4 * fives + 24) % 12, threes, fives)),
    { maxLength: 3 },
  );
  const toClass = (fifths: number) => (7 * fifths + 84) % 12;
  const struck = fc
    .uniqueArray(fc.integer({ min: -5, max: 7 }), { minLength: 1, maxLength: 3, selector: toClass })
    .map((list) => list.map((fifths): SpelledNote => ({ key: toClass(fifths), fifths })));

  test('is the least of all places in a wide region, tried one by one', () => {
    forAll([held, struck], (fixed, notes) => {
      let best: Impurity = { octaves: Infinity, fifths: Infinity, thirds: Infinity };
      const tryAll = (placed: readonly PlacedNote[]): void => {
        if (placed.length < notes.length) {
          for (const one of toRegion(notes[placed.length])) tryAll([...placed, one]);
          return;
        }
        const found = toImpurity(fixed, placed);
        if (isLess(found, best)) best = found;
      };
      tryAll([]);
      expect(toLeastImpurity(fixed, notes)).toEqual(best);
    });
  });
});

test('the spelling of octaves, fifths and fourths can be right unless held notes speak against each other', () => {
  expect(canBeSpelled([], [60, 67, 74])).toBe(true);
  expect(canBeSpelled(spelledAs('C#4'), [68, 75])).toBe(true);
  // G♯ over C♯, or A♭ under E♭.
  expect(canBeSpelled(spelledAs('C#4 Eb4'), [68])).toBe(false);
  expect(canBeSpelled(spelledAs('C#4 Eb4'), [69])).toBe(true);
  expect(canBeSpelled([], [60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 71])).toBe(false);
});

test('the spelling of octaves, fifths and fourths is reported where it is wrong', () => {
  expect(listMisspelled(spelledAs('C#4'), spelledAs('G#4 D5'))).toEqual([]);
  expect(listMisspelled(spelledAs('C#4'), spelledAs('Ab4 D5'))).toEqual([spelledAs('Ab4 C#4')]);
  expect(listMisspelled([], spelledAs('C4 B#4'))).toHaveLength(1);
});

test('what looks like a third on the keys is an augmented second, a diminished fourth, or an inversion of one', () => {
  expect(listSeeming([], spelledAs('G#4 C5 E5'))).toEqual([spelledAs('C5 G#4')]);
  expect(listSeeming(spelledAs('Ab4'), spelledAs('B4 F4'))).toEqual([spelledAs('B4 Ab4')]);
  expect(listSeeming([], spelledAs('C4 E4 G4'))).toEqual([]);
});

test('what looks like a third on the keys cannot be one in a triad, or by itself', () => {
  const [pair] = listSeeming([], spelledAs('G#4 C5'));
  expect(isInTriad(pair, [68, 72])).toBe(true);
  expect(isInTriad(pair, [68, 72, 75])).toBe(true);
  expect(isInTriad(pair, [68, 72, 76])).toBe(false);
  expect(isInTriad(pair, [65, 68, 72])).toBe(true);
});

/** Every place of a note that three consonances in a row can reach from the held notes, and more. */
function toRegion({ key, fifths }: SpelledNote): PlacedNote[] {
  const region: PlacedNote[] = [];
  for (let fives = -5; fives <= 5; fives++) region.push(at(key, fifths - 4 * fives, fives));
  return region;
}
