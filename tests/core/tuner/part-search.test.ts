import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UNISON } from '../../../src/core/theory/index.js';
import { type PartQuestion, PartSearch } from '../../../src/core/tuner/part-search.js';
import type { Place } from '../../../src/core/tuner/places.js';
import { toPairPrice } from '../../../src/core/tuner/surroundings.js';
import { forAll } from '../../support/properties.js';
import { justChooser, pointOf, toClass } from '../../support/surroundings.js';

/** Single notes, each with some places of its own cost, in no order. */
const questions = fc
  .uniqueArray(fc.integer({ min: -5, max: 6 }), { minLength: 1, maxLength: 4 })
  .chain((notes) =>
    fc.tuple(
      ...notes.map((fifths) =>
        fc
          .uniqueArray(fc.integer({ min: -2, max: 2 }), { minLength: 1, maxLength: 4 })
          .chain((commas) =>
            fc.tuple(
              ...commas.map((one) =>
                fc
                  .double({ min: 0, max: 5, noNaN: true })
                  .map((cost): Place => ({ root: pointOf({ fifths, commas: one }), cost })),
              ),
            ),
          )
          .map((places) => ({ part: { classes: [toClass(fifths)], steps: [UNISON] }, places })),
      ),
    ),
  )
  .map(
    (list): PartQuestion => ({
      parts: list.map(({ part }) => part),
      places: list.map(({ places }) => places),
      base: 1,
      wholeOf: undefined,
    }),
  );

function toCost(places: readonly Place[]): number {
  let cost = 1;
  places.forEach(({ root, cost: own }, i) => {
    cost += own;
    for (const other of places.slice(0, i)) cost += toPairPrice(justChooser, root, other.root);
  });
  return cost;
}

/** What all choices cost, cheapest first. */
function listCosts({ places }: PartQuestion): number[] {
  let choices: Place[][] = [[]];
  for (const list of places) choices = choices.flatMap((before) => list.map((place) => [...before, place]));
  return choices.map(toCost).sort((a, b) => a - b);
}

describe('the search of a part', () => {
  const search = new PartSearch(justChooser);

  test('finds the cheapest choices of all, again and again', () => {
    forAll([questions, fc.integer({ min: 1, max: 5 })], (question, fan) => {
      const found = search.find(question, { fan, slack: Infinity, steps: Infinity });
      const all = listCosts(question);
      expect(found).toHaveLength(Math.min(fan, all.length));
      for (const [i, { places, cost }] of found.entries()) {
        expect(cost).toBeCloseTo(all[i], 6);
        expect(toCost(places)).toBeCloseTo(cost, 6);
      }
      if (all.length > fan) expect(search.othersFrom).toBeLessThanOrEqual(all[fan] + 1e-6);
      else expect(search.othersFrom).toBe(Infinity);
    });
  });

  test('gives no choice that is dearer by more than the slack', () => {
    forAll([questions, fc.double({ min: 0.1, max: 5, noNaN: true })], (question, slack) => {
      const found = search.find(question, { fan: 9, slack, steps: Infinity });
      for (const { cost } of found) expect(cost).toBeLessThan(found[0].cost + slack + 1e-9);
      const next = listCosts(question)[found.length];
      if (next !== undefined && found.length < 9)
        expect(next).toBeGreaterThanOrEqual(found[0].cost + slack - 1e-6);
    });
  });

  test('includes the cost of the whole', () => {
    forAll([questions], (question) => {
      // Whatever isn't the dearest place of the first part costs more than all the rest.
      const [first] = question.places;
      const dearest = first.reduce((most, place) => (place.cost > most.cost ? place : most));
      const wholeOf = ([one]: readonly Place[]) => (one === dearest ? 0 : 1e12);
      const [{ places }] = search.find({ ...question, wholeOf }, { fan: 1, slack: 0, steps: Infinity });
      expect(places[0]).toBe(dearest);
    });
  });

  test('gives at least one choice, and says what it may have missed, however few its steps', () => {
    forAll([questions, fc.nat(6)], (question, steps) => {
      const [{ cost }] = search.find(question, { fan: 1, slack: 0, steps });
      const [least] = listCosts(question);
      expect(cost).toBeGreaterThanOrEqual(least - 1e-6);
      expect(Math.min(cost, search.othersFrom)).toBeLessThanOrEqual(least + 1e-6);
    });
  });
});
