import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toFifths } from '../../../src/core/theory/index.js';
import { DEFAULT_WEIGHTS, HELD, LOOSE } from '../../../src/core/tuner/index.js';
import { isSureThird, Speller } from '../../../src/core/tuner/spelling.js';
import { numbers } from '../../support/numbers.js';
import { Playing } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { type Heard, hear, heardShades, strike, toClass } from '../../support/surroundings.js';

/** Where the music so far stands: the mean of what was played, just not halfway between two notes. */
const mean = fc.double({ min: -9, max: 9, noNaN: true }).map((fifths) => fifths + 0.0137);
const struckClasses = fc.uniqueArray(fc.nat(11), { minLength: 1, maxLength: 5 });

/** The places that struck key classes get, by key class. */
function spell(classes: readonly number[], heard: readonly Heard[], fifthsMean: number): Map<number, number> {
  const surroundings = hear(heard);
  surroundings.fifthsMean = fifthsMean;
  const speller = new Speller();
  speller.spell(strike(classes), surroundings, DEFAULT_WEIGHTS);
  return new Map(classes.map((keyClass) => [keyClass, speller.fifths[keyClass]]));
}

/** A held note by its place on the line of fifths. */
const heldOn = (fifths: number): Heard => ({ fifths, commas: 0, ageSeconds: 0, binding: HELD });
const endedOn = (fifths: number): Heard => ({ fifths, commas: 0, ageSeconds: 0.5, binding: 0 });
const looseOn = (fifths: number): Heard => ({ fifths, commas: 0, ageSeconds: 1, binding: LOOSE });

describe('a key class', () => {
  test('is spelled as itself', () => {
    forAll([struckClasses, fc.array(heardShades, { maxLength: 8 }), mean], (classes, heard, fifthsMean) => {
      for (const [keyClass, fifths] of spell(classes, heard, fifthsMean))
        expect(toClass(fifths)).toBe(keyClass);
    });
  });

  test('is spelled the same in whatever order the fingers land', () => {
    forAll(
      [struckClasses, fc.array(heardShades, { maxLength: 8 }), mean, fc.nat(4)],
      (classes, heard, fifthsMean, by) => {
        const turned = [...classes.slice(by), ...classes.slice(0, by)].reverse();
        const spelled = spell(classes, heard, fifthsMean);
        for (const [keyClass, fifths] of spell(turned, heard, fifthsMean))
          expect(fifths).toBe(spelled.get(keyClass));
      },
    );
  });

  test('is spelled as it was before, when nothing else decides', () => {
    expect(spell([8], [endedOn(8)], 1).get(8)).toBe(8);
    expect(spell([8], [endedOn(-4)], 1).get(8)).toBe(-4);
  });
});

/** Degrees of the scales, on the line of fifths from their tonic, in ascending order, as every primer has them. */
const MAJOR = [0, 2, 4, -1, 1, 3, 5];
const HARMONIC_MINOR = [0, 2, -3, -1, 1, -4, 5];
/** The chords of the cadence I IV V I. */
const MAJOR_CADENCE = numbers('0 4 7 12, 0 5 9 12, -1 2 7 11, 0 4 7 12');
const MINOR_CADENCE = numbers('0 3 7 12, 0 5 8 12, -1 2 7 11, 0 3 7 12');
const MAJOR_KEYS = [0, 2, 4, 5, 7, 9, 11];
const MINOR_KEYS = [0, 2, 3, 5, 7, 8, 11];

describe.each([
  ['major', MAJOR, MAJOR_CADENCE, MAJOR_KEYS],
  ['harmonic minor', HARMONIC_MINOR, MINOR_CADENCE, MINOR_KEYS],
] as const)('the %s scale', (_name, scale, cadence, keys) => {
  test.each(Array.from({ length: 12 }, (_, tonic) => tonic))(
    'is spelled right on key class %i, after its cadence',
    (tonic) => {
      const playing = new Playing({ strategy: 'free' });
      const fifthsOf = (key: number) => toFifths(playing.point(key));
      for (const chord of cadence) playing.chord(chord.map((key) => 60 + tonic + key));
      const root = fifthsOf(60 + tonic);
      for (const upwards of [true, false]) {
        const steps = upwards ? [...keys.keys()] : [...keys.keys()].reverse();
        for (const i of steps) {
          playing.chord([60 + tonic + keys[i]], []);
          expect(fifthsOf(60 + tonic + keys[i]) - root).toBe(scale[i]);
        }
      }
    },
  );
});

describe('a triad', () => {
  const triads = fc.record({ root: fc.nat(11), third: fc.constantFrom(3, 4) });
  const toClasses = ({ root, third }: { root: number; third: number }) => [
    root,
    (root + third) % 12,
    (root + 7) % 12,
  ];

  test('is a root, a third and a fifth, struck from silence, on every key', () => {
    for (let root = 0; root < 12; root++) {
      for (const third of [3, 4]) {
        const playing = new Playing({ strategy: 'free' }).chord(
          [root, root + third, root + 7].map((key) => 60 + key),
        );
        const [low, middle, high] = playing.tuner.notes.map(({ point }) => toFifths(point));
        expect([middle - low, high - low]).toEqual([third === 4 ? 4 : -3, 1]);
      }
    }
  });

  test('is a root, a third and a fifth over any music before, and whatever a pedal holds', () => {
    const before = fc.array(
      heardShades.map((one) => (one.binding === HELD ? { ...one, binding: 0 } : one)),
      { maxLength: 8 },
    );
    forAll([triads, before, mean], 300, (triad, heard, fifthsMean) => {
      const classes = toClasses(triad);
      const [low, middle, high] = classes.map((keyClass) => spell(classes, heard, fifthsMean).get(keyClass)!);
      expect([middle - low, high - low]).toEqual([triad.third === 4 ? 4 : -3, 1]);
    });
  });

  test('is a root, a third and a fifth when some of it is held, however far the music has drifted', () => {
    forAll(
      [triads, fc.integer({ min: -60, max: 60 }), fc.integer({ min: 1, max: 6 }), mean],
      ({ root, third }, rounds, which, fifthsMean) => {
        const low = 12 * rounds + ((7 * root) % 12);
        const places = [low, low + (third === 4 ? 4 : -3), low + 1];
        const held = places.filter((_, i) => (which >> i) & 1);
        const struck = places.filter((fifths) => !held.includes(fifths));
        const spelled = spell(struck.map(toClass), held.map(heldOn), fifthsMean);
        for (const fifths of struck) expect(spelled.get(toClass(fifths))).toBe(fifths);
      },
    );
  });
});

test('a third by itself is spelled as a third, struck together or over a held note, wherever the music is', () => {
  forAll(
    [fc.nat(11), fc.constantFrom(3, 4), mean, fc.integer({ min: -20, max: 20 })],
    (low, keys, at, held) => {
      const classes = [low, (low + keys) % 12];
      const together = spell(classes, [], at);
      const size = keys === 4 ? 4 : -3;
      expect(together.get(classes[1])! - together.get(classes[0])!).toBe(size);
      const upper = (toClass(held) + keys) % 12;
      expect(spell([upper], [heldOn(held)], at).get(upper)! - held).toBe(size);
    },
  );
});

test.each<[string, number[], number[], number, number[], number, number]>([
  ['G♯ beside C and E held in A minor, where it was G♯', [0, 4], [8, 5], 1, [8], 8, 8],
  ['A♭ beside the same in C minor, where it was A♭', [0, 4], [-4, -3], -1, [8], 8, -4],
  ['C beside E held, G♯ struck with it in A minor', [4], [8, 0], 1, [8, 0], 0, 0],
  ['E♭ beside F♯, A and C held in G minor, where it was E♭', [6, 3, 0], [-3], -0.5, [3], 3, -3],
  ['D♯ beside the same in E minor, where it was D♯', [6, 3, 0], [9], 2, [3], 3, 9],
])(
  'a third that isn’t sure is spelled by its chord and the music: %s',
  (_name, held, heard, at, struck, keyClass, fifths) => {
    expect(spell(struck, [...held.map(heldOn), ...heard.map(endedOn)], at).get(keyClass)).toBe(fifths);
  },
);

test('a third that isn’t sure is spelled by the music in a diminished seventh chord', () => {
  // B D F A♭ in C minor; B D F G♯ in A minor.
  const seventh = [11, 2, 5, 8];
  expect([...spell(seventh, [], -1.5).values()]).toEqual([5, 2, -1, -4]);
  expect([...spell(seventh, [], 1.5).values()]).toEqual([5, 2, -1, 8]);
});

/** What no composer writes: octaves and fifths spelled as anything else, and thirds of which there is no doubt. */
type Misspelled = readonly [octaves: number, fifths: number, thirds: number];

function countMisspelled(places: readonly { fifths: number; isHeld: boolean }[]): Misspelled {
  const sounding = places.reduce((bits, { fifths }) => bits | (1 << toClass(fifths)), 0);
  let [octaves, perfect, thirds] = [0, 0, 0];
  places.forEach((a, i) => {
    for (const b of places.slice(0, i)) {
      if (a.isHeld && b.isHeld) continue;
      const [one, other] = [toClass(a.fifths), toClass(b.fifths)];
      const keys = Math.min((one - other + 12) % 12, (other - one + 12) % 12);
      const fifths = Math.abs(a.fifths - b.fifths);
      if (keys === 0 && fifths > 0) octaves++;
      if (keys === 5 && fifths > 1) perfect++;
      if ((keys === 3 || keys === 4) && fifths > 4 && isSureThird(sounding, one, other)) thirds++;
    }
  });
  return [octaves, perfect, thirds];
}

/** Whether the first in which they differ is less. */
function isLess(a: Misspelled, b: Misspelled): boolean {
  const at = a.findIndex((count, i) => count !== b[i]);
  return at >= 0 && a[at] < b[at];
}

test('a note that is held already is spelled as it is, though a fifth then be wrong', () => {
  // E G♭ held, and E B struck: B is a fifth over E.
  expect([...spell([4, 11], [heldOn(4), heldOn(-6), heldOn(-4)], -3).values()]).toEqual([4, 5]);
});

test('octaves, fourths and fifths, then the thirds of triads, are misspelled only where held notes leave no other way', () => {
  const held = fc.array(fc.integer({ min: -7, max: 9 }), { maxLength: 4 });
  const silent = fc.array(
    heardShades.map((one) => ({ ...one, binding: 0 })),
    { maxLength: 6 },
  );
  forAll(
    [fc.uniqueArray(fc.nat(11), { minLength: 1, maxLength: 4 }), held, silent, mean],
    200,
    (classes, sounding, before, fifthsMean) => {
      const fixed = [...new Set(sounding)].map((fifths) => ({ fifths, isHeld: true }));
      const spelled = spell(classes, [...sounding.map(heldOn), ...before], fifthsMean);
      const ours = countMisspelled([
        ...fixed,
        ...[...spelled.values()].map((fifths) => ({ fifths, isHeld: false })),
      ]);
      let least: Misspelled = [Infinity, Infinity, Infinity];
      const tryAll = (i: number, free: readonly { fifths: number; isHeld: boolean }[]): void => {
        if (i === classes.length) {
          const found = countMisspelled([...fixed, ...free]);
          if (isLess(found, least)) least = found;
          return;
        }
        for (let fifths = -24; fifths <= 24; fifths++)
          if (toClass(fifths) === classes[i]) tryAll(i + 1, [...free, { fifths, isHeld: false }]);
      };
      tryAll(0, []);
      expect(ours).toEqual(least);
    },
  );
});

test('a fifth over a note that only a pedal holds is a fifth, unless the chord that is struck says otherwise', () => {
  // G♯ rings on as the music has gone to flats.
  expect(spell([3], [looseOn(8)], -6).get(3)).toBe(9);
  expect(spell([8, 0, 3], [looseOn(8)], -6)).toEqual(new Map(numbers<[number, number]>('8 8, 0 12, 3 9')));
  // G♯ that rings wants D♯, and F wants B♭: one of them is wrong, but the triad isn’t.
  const [low, middle, high] = spell([3, 7, 10], [looseOn(8), looseOn(-1)], 0).values();
  expect([middle - low, high - low]).toEqual([4, 1]);
});

/** Key classes, a bit for each. */
const toBits = (classes: readonly number[]) => classes.reduce((bits, keyClass) => bits | (1 << keyClass), 0);

test.each<[string, number[], number, number, boolean]>([
  ['a third by itself', [8, 0], 8, 0, true],
  ['the third of a major triad', [8, 0, 3], 8, 0, true],
  ['its other third', [8, 0, 3], 0, 3, true],
  ['the thirds of a minor triad', [5, 8, 0], 5, 8, true],
  ['and the other', [5, 8, 0], 8, 0, true],
  ['two thirds of an augmented triad', [0, 4, 8], 8, 0, false],
  ['a third of a diminished triad', [11, 2, 5], 11, 2, false],
  ['a third beside a second', [8, 0, 10], 8, 0, false],
  ['one of a seventh chord', [7, 11, 2, 5], 7, 11, true],
  ['its minor third outside the triad', [7, 11, 2, 5], 2, 5, false],
])('whether a third is sure is right for %s', (_name, classes, a, b, sure) =>
  expect(isSureThird(toBits(classes), a, b)).toBe(sure),
);

test('whether a third is sure does not depend on the order of its notes or the key', () => {
  forAll(
    [fc.uniqueArray(fc.nat(11), { minLength: 1, maxLength: 6 }), fc.constantFrom(3, 4), fc.nat(11)],
    (others, keys, by) => {
      const classes = [...others, (others[0] + keys) % 12];
      const sure = isSureThird(toBits(classes), others[0], (others[0] + keys) % 12);
      const moved = classes.map((keyClass) => (keyClass + by) % 12);
      expect(isSureThird(toBits(moved), (others[0] + keys + by) % 12, moved[0])).toBe(sure);
    },
  );
});

test('a third is sure whenever three notes of a triad sound, whatever else does', () => {
  forAll([fc.nat(11), fc.constantFrom(3, 4), fc.nat(4095)], (root, third, others) => {
    const [middle, top] = [(root + third) % 12, (root + 7) % 12];
    const sounding = others | toBits([root, middle, top]);
    expect(isSureThird(sounding, root, middle)).toBe(true);
    expect(isSureThird(sounding, middle, top)).toBe(true);
  });
});
