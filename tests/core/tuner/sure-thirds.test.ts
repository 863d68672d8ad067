import fc from 'fast-check';
import { expect, it } from 'vitest';
import { isSureThird } from '../../../src/core/tuner/spelling.js';

/** Key classes, a bit for each. */
const toBits = (classes: readonly number[]) => classes.reduce((bits, keyClass) => bits | (1 << keyClass), 0);

it.each<[string, number[], number, number, boolean]>([
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
])('%s', (_name, classes, a, b, sure) => {
  expect(isSureThird(toBits(classes), a, b)).toBe(sure);
});

it('doesn’t matter which note is told first, and on which key', () => {
  fc.assert(
    fc.property(
      fc.uniqueArray(fc.nat(11), { minLength: 1, maxLength: 6 }),
      fc.constantFrom(3, 4),
      fc.nat(11),
      (others, keys, by) => {
        const classes = [...others, (others[0] + keys) % 12];
        const sure = isSureThird(toBits(classes), others[0], (others[0] + keys) % 12);
        const moved = classes.map((keyClass) => (keyClass + by) % 12);
        expect(isSureThird(toBits(moved), (others[0] + keys + by) % 12, moved[0])).toBe(sure);
      },
    ),
  );
});

it('is so whenever three notes of a triad sound, whatever else does', () => {
  fc.assert(
    fc.property(fc.nat(11), fc.constantFrom(3, 4), fc.nat(4095), (root, third, others) => {
      const [middle, top] = [(root + third) % 12, (root + 7) % 12];
      const sounding = others | toBits([root, middle, top]);
      expect(isSureThird(sounding, root, middle)).toBe(true);
      expect(isSureThird(sounding, middle, top)).toBe(true);
    }),
  );
});
