import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { multiply, type PrimeVector, ratio, toKeys, UNISON } from '../../../src/core/theory/index.js';
import { toKeyClass } from '../../../src/core/theory/vector.js';
import { toConsonances, toImpurity } from '../../../src/core/tuner/consonance.js';
import { createPairCost } from '../../../src/core/tuner/pair-cost.js';
import { DEFAULT_WEIGHTS } from '../../../src/core/tuner/weights.js';
import { forAll } from '../../support/properties.js';

const JUST = toConsonances(5);
const pairCost = createPairCost(DEFAULT_WEIGHTS, JUST, 0);

const cost = (text: string): number => pairCost.between(ratio(text), UNISON);

/** Points near and far, beyond what a table could hold; primes above 5 in one of three. */
const point = fc
  .tuple(
    fc.integer({ min: -40, max: 40 }),
    fc.integer({ min: -40, max: 40 }),
    fc.constantFrom(-1, 0, 0, 0, 1),
    fc.constantFrom(0, 0, 1),
    fc.constantFrom(0, 0, 1),
  )
  .map(([three, five, seven, eleven, thirteen]): PrimeVector => [0, three, five, seven, eleven, thirteen]);

describe('what two notes cost', () => {
  test('is zero for octaves, and for nothing else', () => {
    expect([cost('1/1'), cost('2/1'), cost('1/8')]).toEqual([0, 0, 0]);
    expect(cost('81/80')).toBeGreaterThan(0);
  });

  test.each([
    ['3/2', '40/27'],
    ['4/3', '27/20'],
    ['5/4', '81/64'],
    ['6/5', '32/27'],
    ['5/3', '27/16'],
    ['8/5', '128/81'],
    ['9/8', '8/7'],
    ['9/8', '10/9'],
    ['1/1', '81/80'],
  ])('%s is cheaper than %s', (pure, impure) => expect(cost(pure)).toBeLessThan(cost(impure)));

  test('an interval costs what its inversion costs, wherever it is', () => {
    forAll([point, point, point], (a, b, by) => {
      const forwards = pairCost.between(a, b);
      expect(pairCost.between(b, a)).toBeCloseTo(forwards, 9);
      expect(pairCost.between(multiply(a, by), multiply(b, by))).toBeCloseTo(forwards, 9);
      expect(pairCost.between([7, ...a.slice(1)] as unknown as PrimeVector, b)).toBe(forwards);
    });
  });

  test('no ratio of 3 and 5 costs less than the bound of its keys, and one meets it', () => {
    const least = new Array<number>(12).fill(Infinity);
    for (let three = -12; three <= 12; three++) {
      for (let five = -6; five <= 6; five++) {
        const vector: PrimeVector = [0, three, five, 0, 0, 0];
        const keys = toKeyClass(toKeys(vector));
        least[keys] = Math.min(least[keys], pairCost.between(vector, UNISON));
      }
    }
    expect(least).toEqual([...pairCost.least]);
  });
});

describe('the impurity of two notes', () => {
  test('is that of their ratio at any distance', () => {
    forAll([point, point], (a, b) => {
      const ratioOf = a.map((exponent, i) => exponent - b[i]) as unknown as PrimeVector;
      expect(pairCost.impurityOf(a, b)).toBeCloseTo(toImpurity(ratioOf, JUST, 0), 6);
      expect(pairCost.impurityOf(b, a)).toBeCloseTo(pairCost.impurityOf(a, b), 6);
    });
  });

  test('depends on the given tolerance and limit', () => {
    const [wolf, third] = [ratio('40/27'), ratio('81/64')];
    expect(pairCost.impurityOf(wolf, UNISON)).toBeGreaterThan(0);
    expect(createPairCost(DEFAULT_WEIGHTS, JUST, 22).impurityOf(wolf, UNISON)).toBeLessThan(10);
    expect(createPairCost(DEFAULT_WEIGHTS, JUST, 21).impurityOf(wolf, UNISON)).toBeGreaterThan(1000);
    expect(createPairCost(DEFAULT_WEIGHTS, toConsonances(3), 0).impurityOf(third, UNISON)).toBe(0);
    expect(pairCost.impurityOf(third, UNISON)).toBeGreaterThan(0);
  });

  test('is computed once for frozen weights, and again for others', () => {
    expect(createPairCost(DEFAULT_WEIGHTS, JUST, 0)).toBe(pairCost);
    const own = { ...DEFAULT_WEIGHTS, strangeSlope: 9 };
    const dear = createPairCost(own, JUST, 0);
    expect(dear.between(ratio('135/128'), UNISON)).toBeGreaterThan(
      pairCost.between(ratio('135/128'), UNISON),
    );
  });
});
