import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findCheapestChoices, type OpenClass } from '../../../../src/core/score/plan/cheapest-choices.js';
import { STOCK_EFFORT } from '../../../../src/core/score/plan/effort.js';
import type { PricedSpot } from '../../../../src/core/score/plan/surroundings.js';
import { createChooser, STOCK_SETTINGS } from '../../../../src/core/tuner/index.js';
import { times } from '../../../support/properties.js';
import { candidatesBeside, heldNotes } from '../../../support/surroundings.js';

const CHOOSER = createChooser(STOCK_SETTINGS);

/** Some classes over a held scene, with weights for their pairs. */
const scene = fc
  .tuple(
    heldNotes,
    fc.uniqueArray(fc.nat(11), { minLength: 1, maxLength: 4 }),
    fc.integer({ min: 1, max: 3 }),
  )
  .map(([notes, keyClasses, count]) => {
    const classes: OpenClass[] = keyClasses
      .sort((a, b) => a - b)
      .map((keyClass) => ({ keyClass, count, candidates: candidatesBeside(notes, keyClass, CHOOSER) }));
    const size = classes.length;
    const pairWeights = Float64Array.from(
      { length: size * size },
      (_, i) => 1 + (i % size) + Math.floor(i / size),
    );
    return { classes, pairWeights };
  });

/** Every choice there is, cheapest first. */
function all(
  { pairCost }: typeof CHOOSER,
  classes: readonly OpenClass[],
  pairWeights: Float64Array,
): number[] {
  const costs: number[] = [];
  const visit = (chosen: readonly PricedSpot[], cost: number) => {
    const i = chosen.length;
    if (i === classes.length) {
      costs.push(cost);
      return;
    }
    for (const candidate of classes[i].candidates) {
      const pairs = chosen.map(
        (other, j) => pairWeights[i * classes.length + j] * pairCost.between(candidate.point, other.point),
      );
      visit(
        [...chosen, candidate],
        cost + classes[i].count * candidate.cost + pairs.reduce((a, b) => a + b, 0),
      );
    }
  };
  visit([], 0);
  return costs.sort((a, b) => a - b);
}

describe('the cheapest choices', () => {
  it('are the cheapest of all, in order, with a true bound for the others', () => {
    fc.assert(
      fc.property(
        scene,
        fc.integer({ min: 1, max: 20 }),
        fc.constantFrom(1, 5, 1000),
        ({ classes, pairWeights }, fan, slack) => {
          const effort = { fan, slack, steps: Infinity };
          const { choices, othersFrom } = findCheapestChoices(CHOOSER, classes, pairWeights, effort);
          const costs = all(CHOOSER, classes, pairWeights);
          const wanted = costs.slice(0, fan).filter((cost, i) => i === 0 || cost < costs[0] + slack - 1e-9);
          expect(choices.length).toBeGreaterThanOrEqual(wanted.length);
          wanted.forEach((cost, i) => {
            expect(choices[i].cost).toBeCloseTo(cost, 9);
          });
          if (choices.length < costs.length)
            expect(othersFrom).toBeLessThanOrEqual(costs[choices.length] + 1e-9);
        },
      ),
    );
  });

  it('of a cluster of all twelve keys are found in bounded time, and there is at least one', () => {
    fc.assert(
      fc.property(heldNotes, (notes) => {
        const classes = Array.from({ length: 12 }, (_, keyClass) => ({
          keyClass,
          count: 1,
          candidates: candidatesBeside(notes, keyClass, CHOOSER),
        }));
        const { choices, othersFrom } = findCheapestChoices(
          CHOOSER,
          classes,
          new Float64Array(144).fill(1),
          STOCK_EFFORT,
        );
        expect(choices.length).toBeGreaterThan(0);
        expect(othersFrom).toBeLessThan(Infinity);
      }),
      { numRuns: times(20) },
    );
  });
});
