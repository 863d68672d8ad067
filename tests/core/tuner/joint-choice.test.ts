import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { divide, formatRatio, type PrimeVector, ratio, sameClass } from '../../../src/core/theory/index.js';
import { STOCK_WEIGHTS } from '../../../src/core/tuner/index.js';
import { createIntervals } from '../../../src/core/tuner/intervals.js';
import {
  type Candidate,
  type Chooser,
  type ClassChoice,
  chooseJointly,
  rankCandidates,
  type Surroundings,
} from '../../../src/core/tuner/joint-choice.js';
import { createPairCost } from '../../../src/core/tuner/pair-cost.js';
import { homeOn } from '../../support/play.js';

const pairCost = createPairCost(STOCK_WEIGHTS);
const chooser: Chooser = {
  intervals: createIntervals(5),
  pairCost,
  weights: STOCK_WEIGHTS,
  home: homeOn('just', 'C'),
};

/** Notes that are held, by key class, and nothing else. */
function held(...notes: [keyClass: number, ratio: string][]): Surroundings {
  const last = new Array<{ point: PrimeVector; ageSeconds: number } | undefined>(12).fill(undefined);
  const context = notes.map(([keyClass, text]) => ({ point: ratio(text), keyClass, weight: 1 }));
  for (const { point, keyClass } of context) last[keyClass] = { point, ageSeconds: 0 };
  return { context, last, fifthsMean: 0, offsetCents: 0, homeLean: 0 };
}

/** Every way of placing the classes, the cheapest sum of them all. */
function leastSum(classes: readonly ClassChoice[]): number {
  const walk = (i: number, placed: PrimeVector[]): number => {
    if (i === classes.length) return sumOf(classes, placed);
    return Math.min(...classes[i].candidates.map(({ point }) => walk(i + 1, [...placed, point])));
  };
  return walk(0, []);
}

function sumOf(classes: readonly ClassChoice[], points: readonly PrimeVector[]): number {
  let sum = 0;
  classes.forEach(({ count, candidates }, i) => {
    sum += count * (candidates.find(({ point }) => point === points[i]) as Candidate).cost;
    for (let j = 0; j < i; j++) {
      sum += count * classes[j].count * pairCost.between(points[i], points[j]);
    }
  });
  return sum;
}

/** Some different key classes with one to three notes each. */
function struck(maxLength: number): fc.Arbitrary<{ keyClass: number; count: number }[]> {
  return fc.uniqueArray(fc.record({ keyClass: fc.nat(11), count: fc.integer({ min: 1, max: 3 }) }), {
    minLength: 1,
    maxLength,
    size: 'max',
    selector: ({ keyClass }) => keyClass,
  });
}

/** A scene of held notes of the just scale. */
const scene = fc
  .uniqueArray(fc.nat(11), { minLength: 1, maxLength: 4 })
  .map((classes) => held(...classes.map((k): [number, string] => [k, formatRatio(chooser.home.point(k))])));

function toChoices(surroundings: Surroundings, classes: readonly { keyClass: number; count: number }[]) {
  return classes.map(({ keyClass, count }) => ({
    keyClass,
    count,
    candidates: rankCandidates(chooser, surroundings, keyClass),
  }));
}

describe('rankCandidates', () => {
  it.each([
    [7, '3/2'],
    [5, '4/3'],
    [4, '5/4'],
    [3, '6/5'],
    [9, '5/3'],
    [8, '8/5'],
    [0, '1/1'],
  ])('%i keys above a held note: %s first, wherever that note stands', (keys, pure) => {
    for (const place of ['1/1', '81/80', '64/45']) {
      const [first] = rankCandidates(chooser, held([0, place]), keys);
      expect(sameClass(divide(first.point, ratio(place)), ratio(pure))).toBe(true);
    }
  });

  it('ranks from the cheapest up, and never nothing', () => {
    fc.assert(
      fc.property(scene, fc.nat(11), (surroundings, keyClass) => {
        const costs = rankCandidates(chooser, surroundings, keyClass).map(({ cost }) => cost);
        expect(costs.length).toBeGreaterThan(0);
        expect(costs).toEqual([...costs].sort((a, b) => a - b));
      }),
    );
  });
});

describe('chooseJointly', () => {
  it('finds the cheapest of all ways to place up to four key classes', () => {
    fc.assert(
      fc.property(scene, struck(4), (surroundings, classes) => {
        const choices = toChoices(surroundings, classes);
        const found = sumOf(choices, chooseJointly(pairCost, choices));
        const least = leastSum(choices);
        if (!(found <= least + 1e-6)) expect(found).toBeCloseTo(least, 6);
      }),
      { numRuns: 150 },
    );
  });

  it('gives the same points in whatever order the classes come', () => {
    fc.assert(
      fc.property(scene, struck(8), (surroundings, classes) => {
        const choices = toChoices(surroundings, classes);
        const forward = chooseJointly(pairCost, choices);
        const backward = chooseJointly(pairCost, [...choices].reverse()).reverse();
        expect(backward).toEqual(forward);
      }),
    );
  });

  it('places all twelve key classes at once, and no worse than one after the other', () => {
    fc.assert(
      fc.property(scene, (surroundings) => {
        const classes = Array.from({ length: 12 }, (_, keyClass) => ({ keyClass, count: 1 }));
        const choices = toChoices(surroundings, classes);
        const together = sumOf(choices, chooseJointly(pairCost, choices));
        const alone = sumOf(
          choices,
          choices.map(({ candidates }) => candidates[0].point),
        );
        expect(together).toBeLessThanOrEqual(alone + 1e-9);
      }),
    );
  });
});
