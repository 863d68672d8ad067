import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PrimeVector, toDeviationCents } from '../../../src/core/theory/index.js';
import {
  type Candidate,
  createChooser,
  rankCandidates,
  type Surroundings,
} from '../../../src/core/tuner/candidates.js';
import { STOCK_WEIGHTS } from '../../../src/core/tuner/index.js';
import { type ClassChoice, chooseJointly, type WholeCost } from '../../../src/core/tuner/joint-choice.js';
import { homeOn } from '../../support/play.js';
import { heldScene } from '../../support/surroundings.js';

const chooser = createChooser({ limit: 5, weights: STOCK_WEIGHTS, home: homeOn('just', 'C') });
const { pairCost } = chooser;

/** Every way of placing the classes, the cheapest sum of them all. */
function leastSum(classes: readonly ClassChoice[], wholeOf: typeof sumOf = () => 0): number {
  const walk = (i: number, placed: PrimeVector[]): number => {
    if (i === classes.length) return sumOf(classes, placed) + wholeOf(classes, placed);
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

function toChoices(surroundings: Surroundings, classes: readonly { keyClass: number; count: number }[]) {
  return classes.map(({ keyClass, count }) => ({
    keyClass,
    count,
    candidates: rankCandidates(chooser, surroundings, keyClass),
  }));
}

describe('chooseJointly', () => {
  it('finds the cheapest of all ways to place up to four key classes', () => {
    fc.assert(
      fc.property(heldScene, struck(4), (surroundings, classes) => {
        const choices = toChoices(surroundings, classes);
        const found = sumOf(choices, chooseJointly(pairCost, choices, true));
        const least = leastSum(choices);
        if (!(found <= least + 1e-6)) expect(found).toBeCloseTo(least, 6);
      }),
      { numRuns: 150 },
    );
  });

  it.each([1, 4])('finds the cheapest of up to %i where a choice has a cost as a whole', (most) => {
    // A body that is to stand at a level: what no candidate knows by itself.
    const level = fc.record({
      cents: fc.integer({ min: -40, max: 40 }),
      price: fc.constantFrom(0.05, 0.4, 3),
    });
    fc.assert(
      fc.property(heldScene, struck(most), level, (surroundings, classes, { cents, price }) => {
        const choices = toChoices(surroundings, classes);
        const wholeOf = (_: unknown, points: readonly PrimeVector[]) =>
          price *
          Math.abs(points.reduce((sum, point) => sum + toDeviationCents(point), -cents) / points.length);
        const wholeCost: WholeCost = {
          of: (classes, chosen) =>
            wholeOf(
              classes,
              chosen.map(({ point }) => point),
            ),
        };
        const points = chooseJointly(pairCost, choices, true, wholeCost);
        const least = leastSum(choices, wholeOf);
        const found = sumOf(choices, points) + wholeOf(choices, points);
        if (!(found <= least + 1e-6)) expect(found).toBeCloseTo(least, 6);
      }),
      { numRuns: 300 },
    );
  });

  it('gives the same points by the flat table as by the pair cost itself', () => {
    fc.assert(
      fc.property(heldScene, struck(8), (surroundings, classes) => {
        const choices = toChoices(surroundings, classes);
        expect(chooseJointly(pairCost, choices, false)).toEqual(chooseJointly(pairCost, choices, true));
      }),
    );
  });

  it('gives the same points in whatever order the classes come', () => {
    fc.assert(
      fc.property(heldScene, struck(8), (surroundings, classes) => {
        const choices = toChoices(surroundings, classes);
        const forward = chooseJointly(pairCost, choices, true);
        const backward = chooseJointly(pairCost, [...choices].reverse(), true).reverse();
        expect(backward).toEqual(forward);
      }),
    );
  });

  it('places all twelve key classes at once, and no worse than one after the other', () => {
    fc.assert(
      fc.property(heldScene, (surroundings) => {
        const classes = Array.from({ length: 12 }, (_, keyClass) => ({ keyClass, count: 1 }));
        const choices = toChoices(surroundings, classes);
        const together = sumOf(choices, chooseJointly(pairCost, choices, true));
        const alone = sumOf(
          choices,
          choices.map(({ candidates }) => candidates[0].point),
        );
        expect(together).toBeLessThanOrEqual(alone + 1e-9);
      }),
    );
  });
});
