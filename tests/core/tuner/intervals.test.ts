import { describe, expect, it } from 'vitest';
import { formatRatio, toDeviationCents, toKeys, withKeys } from '../../../src/core/theory/index.js';
import { createIntervals, toIntervalClass, toKeyClass } from '../../../src/core/tuner/intervals.js';

/** Ratios for so many keys, octaves put in, nearest first. */
function ratiosOf(limit: 3 | 5 | 7, keys: number): string[] {
  return createIntervals(limit)[keys].map((ratio) => formatRatio(withKeys(ratio, keys)));
}

describe('the ratios a new note may have', () => {
  // The chromatic scale of just intonation, as every handbook has it.
  it.each([
    [0, '1/1'],
    [1, '16/15'],
    [2, '9/8'],
    [3, '6/5'],
    [4, '5/4'],
    [5, '4/3'],
    [7, '3/2'],
    [8, '8/5'],
    [9, '5/3'],
    [11, '15/8'],
  ])('for %i keys the nearest is %s', (keys, nearest) => {
    expect(ratiosOf(5, keys)[0]).toBe(nearest);
  });

  it('both whole tones and both minor sevenths are there', () => {
    expect(ratiosOf(5, 2)).toEqual(expect.arrayContaining(['9/8', '10/9']));
    expect(ratiosOf(5, 10)).toEqual(expect.arrayContaining(['9/5', '16/9']));
    expect(ratiosOf(5, 6)).toEqual(expect.arrayContaining(['45/32', '64/45', '25/18', '36/25']));
  });

  it('so are the wolf fourth and fifth, but never a syntonic comma for a unison', () => {
    expect(ratiosOf(5, 5)).toContain('27/20');
    expect(ratiosOf(5, 7)).toContain('40/27');
    expect(ratiosOf(5, 0)).not.toContain('81/80');
    expect(ratiosOf(5, 0)).not.toContain('80/81');
  });

  it.each([3, 5, 7, 11, 13] as const)('limit %i: every key has one, and each lies on its key', (limit) => {
    createIntervals(limit).forEach((list, keys) => {
      expect(list.length).toBeGreaterThan(0);
      for (const ratio of list) {
        expect(toKeyClass(toKeys(ratio))).toBe(keys);
        expect(Math.abs(toDeviationCents(ratio))).toBeLessThanOrEqual(45);
        // Primes above 5 come in by the chord, never by the pair.
        expect(ratio.slice(3)).toEqual([0, 0, 0]);
      }
    });
  });

  it('limit 3 has powers of 3 alone', () => {
    expect(createIntervals(3).every((list) => list.every((ratio) => ratio[2] === 0))).toBe(true);
    expect(ratiosOf(3, 4)).toEqual(['81/64']);
    expect(ratiosOf(3, 6)).toEqual(['729/512', '1024/729']);
  });

  it('a ratio and its inversion are both there', () => {
    const choices = createIntervals(5);
    choices.forEach((list, keys) => {
      const inverted = choices[(12 - keys) % 12].map(([, three, five]) => `${0 - three} ${0 - five}`);
      expect(list.map(([, three, five]) => `${three} ${five}`).sort()).toEqual(inverted.sort());
    });
  });
});

describe('classes of keys', () => {
  it.each([
    [0, 0],
    [11, 11],
    [12, 0],
    [-1, 11],
    [-13, 11],
    [127, 7],
  ])('key class of %i is %i', (keys, keyClass) => {
    expect(toKeyClass(keys)).toBe(keyClass);
  });

  it('an interval and its inversion are of one class, 0 to 6', () => {
    expect(Array.from({ length: 13 }, (_, keys) => toIntervalClass(keys))).toEqual([
      0, 1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1, 0,
    ]);
    expect(toIntervalClass(-7)).toBe(5);
  });
});
