import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Rankings } from '../../../src/core/tuner/candidates.js';
import { JointChoice, type Struck, type WholeCost } from '../../../src/core/tuner/joint-choice.js';
import { times } from '../../support/properties.js';
import { held, heldNotes, justChooser, listCandidates } from '../../support/surroundings.js';

const { pairCost } = justChooser;

type Notes = Parameters<typeof held>[0];
type Classes = readonly { readonly keyClass: number; readonly count: number }[];
type Candidate = ReturnType<typeof listCandidates>[number];
type WholeOf = (chosen: readonly Candidate[]) => number;

const nothingMore: WholeOf = () => 0;

/** Every way of placing the key classes: the cheapest sum of them all. */
function leastSum(notes: Notes, classes: Classes, wholeOf = nothingMore): number {
  const rankings = new Rankings(held(notes));
  const choices = classes.map(({ keyClass }) => listCandidates(rankings, keyClass));
  const walk = (chosen: readonly Candidate[]): number => {
    if (chosen.length === classes.length) return sumOf(classes, chosen) + wholeOf(chosen);
    return Math.min(...choices[chosen.length].map((candidate) => walk([...chosen, candidate])));
  };
  return walk([]);
}

function sumOf(classes: Classes, chosen: readonly Candidate[]): number {
  let sum = 0;
  classes.forEach(({ count }, i) => {
    sum += count * chosen[i].cost;
    for (let j = 0; j < i; j++)
      sum += count * classes[j].count * pairCost.between(chosen[i].point, chosen[j].point);
  });
  return sum;
}

function toStruck(classes: Classes): Struck {
  const counts = new Int32Array(12);
  for (const { keyClass, count } of classes) counts[keyClass] = count;
  return { size: classes.length, classes: Int32Array.from(classes, ({ keyClass }) => keyClass), counts };
}

/** What is chosen beside held notes, in the order of the key classes. */
function choose(notes: Notes, classes: Classes, wholeOf?: WholeOf, near = true): Candidate[] {
  const surroundings = held(notes);
  // As if they were too far apart for the flat table.
  if (!near) Object.defineProperty(surroundings, 'near', { value: false });
  const rankings = new Rankings(surroundings);
  const choices = classes.map(({ keyClass }) => listCandidates(rankings, keyClass));
  const pick = (indexes: Int32Array) =>
    classes.map(({ keyClass }, i) => choices[i].find(({ at }) => at === indexes[keyClass])!);
  const jointChoice = new JointChoice(pairCost, rankings);
  const wholeCost: WholeCost | undefined = wholeOf && { of: (_, __, chosen) => wholeOf(pick(chosen)) };
  jointChoice.choose(toStruck(classes), wholeCost);
  return pick(jointChoice.chosen);
}

/** Some different key classes with one to three notes each, from the lowest up. */
function struck(maxLength: number): fc.Arbitrary<Classes> {
  return fc
    .uniqueArray(fc.record({ keyClass: fc.nat(11), count: fc.integer({ min: 1, max: 3 }) }), {
      minLength: 1,
      maxLength,
      size: 'max',
      selector: ({ keyClass }) => keyClass,
    })
    .map((classes) => classes.sort((a, b) => a.keyClass - b.keyClass));
}

describe('JointChoice', () => {
  it('finds the cheapest of all ways to place up to four key classes', () => {
    fc.assert(
      fc.property(heldNotes, struck(4), (notes, classes) => {
        const found = sumOf(classes, choose(notes, classes));
        const least = leastSum(notes, classes);
        if (!(found <= least + 1e-6)) expect(found).toBeCloseTo(least, 6);
      }),
      { numRuns: times(150) },
    );
  });

  it.each([1, 4])('finds the cheapest of up to %i where a choice has a cost as a whole', (most) => {
    // A body that is to stand at a level: what no candidate knows by itself.
    const level = fc.record({
      cents: fc.integer({ min: -40, max: 40 }),
      price: fc.constantFrom(0.05, 0.4, 3),
    });
    fc.assert(
      fc.property(heldNotes, struck(most), level, (notes, classes, { cents, price }) => {
        const wholeOf: WholeOf = (chosen) =>
          price *
          Math.abs(chosen.reduce((sum, { deviationCents }) => sum + deviationCents, -cents) / chosen.length);
        const chosen = choose(notes, classes, wholeOf);
        const found = sumOf(classes, chosen) + wholeOf(chosen);
        const least = leastSum(notes, classes, wholeOf);
        if (!(found <= least + 1e-6)) expect(found).toBeCloseTo(least, 6);
      }),
      { numRuns: times(300) },
    );
  });

  it('gives the same by the flat table as by the pair cost itself', () => {
    fc.assert(
      fc.property(heldNotes, struck(8), (notes, classes) => {
        expect(choose(notes, classes, undefined, false)).toEqual(choose(notes, classes));
      }),
    );
  });

  it('remembers nothing of the choice before', () => {
    fc.assert(
      fc.property(heldNotes, struck(8), struck(8), (notes, before, classes) => {
        const rankings = new Rankings(held(notes));
        for (const { keyClass } of [...before, ...classes]) rankings.rank(keyClass);
        const used = new JointChoice(pairCost, rankings);
        const fresh = new JointChoice(pairCost, rankings);
        used.choose(toStruck(before), { of: () => 1 });
        used.choose(toStruck(classes));
        fresh.choose(toStruck(classes));
        for (const { keyClass } of classes) expect(used.chosen[keyClass]).toBe(fresh.chosen[keyClass]);
      }),
    );
  });

  it('places all twelve key classes at once, and no worse than one after the other', () => {
    fc.assert(
      fc.property(heldNotes, (notes) => {
        const classes = Array.from({ length: 12 }, (_, keyClass) => ({ keyClass, count: 1 }));
        const rankings = new Rankings(held(notes));
        const alone = classes.map(({ keyClass }) => listCandidates(rankings, keyClass)[0]);
        const together = sumOf(classes, choose(notes, classes));
        expect(together).toBeLessThanOrEqual(sumOf(classes, alone) + 1e-9);
      }),
    );
  });
});
