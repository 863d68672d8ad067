import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { multiply, type PrimeVector, power, ratio } from '../../../src/core/theory/index.js';
import { costAt } from '../../../src/core/tuner/candidates.js';
import { Surroundings } from '../../../src/core/tuner/surroundings.js';
import { homeOn } from '../../support/play.js';
import { times } from '../../support/properties.js';
import { held, justChooser } from '../../support/surroundings.js';

const [C, D, HIGH_D] = ['1/1', '10/9', '9/8'].map(ratio);

function hear(
  surroundings: Surroundings,
  ...heard: readonly (readonly [PrimeVector, number, number])[]
): number[] {
  surroundings.begin();
  const indexes = heard.map(([point, keyClass, weight]) => surroundings.hear(point, keyClass, weight));
  surroundings.end();
  return indexes;
}

describe('Surroundings', () => {
  it('know what is heard, and whether anything is', () => {
    const surroundings = new Surroundings(justChooser);
    expect(surroundings.isEmpty).toBe(true);
    hear(surroundings, [D, 2, 1]);
    expect(surroundings.isEmpty).toBe(false);
    expect([1, 2, 3].map((keyClass) => surroundings.hears(keyClass))).toEqual([false, true, false]);
    hear(surroundings);
    expect(surroundings.isEmpty).toBe(true);
  });

  it('weigh a point by all that sounds there, and another of its key class apart', () => {
    const surroundings = new Surroundings(justChooser);
    const indexes = hear(
      surroundings,
      [D, 2, 1],
      [C, 0, 1],
      [HIGH_D, 2, 1.5],
      [D, 2, 0.5],
      [HIGH_D, 2, 0.25],
    );
    expect(indexes).toEqual([2, 0, 12, 2, 12]);
    expect(surroundings.size).toBe(13);
    expect([...surroundings.weights.slice(0, 13)]).toEqual([1, 0, 1.5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1.75]);
    const alone = (point: PrimeVector, weight: number) => {
      const one = new Surroundings(justChooser);
      hear(one, [point, 2, weight]);
      return costAt(one, 9, ratio('5/3')) - costAt(held([]), 9, ratio('5/3'));
    };
    const together = costAt(surroundings, 9, ratio('5/3')) - costAt(held([]), 9, ratio('5/3'));
    const onC = justChooser.pairCost.between(ratio('5/3'), C);
    expect(together).toBeCloseTo(alone(D, 1.5) + alone(HIGH_D, 1.75) + onC, 9);
  });

  it('know the neighbourhoods of whatever is heard, after anything else was', () => {
    // Sets of points, some of the same shape elsewhere, heard by turns: more of them than are kept.
    const sets = fc.array(
      fc
        .tuple(
          fc.uniqueArray(fc.nat(11), { minLength: 1, maxLength: 4 }),
          fc.integer({ min: -2, max: 2 }),
          fc.boolean(),
        )
        .map(([classes, commas, isDouble]) => {
          const shift = power(ratio('81/80'), commas);
          const points = classes.map((k) => [multiply(homeOn('just', 'C').point(k), shift), k, 1] as const);
          const [[point, keyClass]] = points;
          return isDouble ? [...points, [multiply(point, ratio('81/80')), keyClass, 1] as const] : points;
        }),
      { minLength: 10, maxLength: 30 },
    );
    fc.assert(
      fc.property(sets, fc.nat(11), (list, keyClass) => {
        const surroundings = new Surroundings(justChooser);
        for (const set of [...list, ...list]) {
          const fresh = new Surroundings(justChooser);
          hear(surroundings, ...set);
          hear(fresh, ...set);
          const [ours, theirs] = [surroundings, fresh].map((one) => {
            const { size, from, steps, pairCosts } = one.neighbourhoodOf(keyClass);
            return {
              near: one.near,
              points: Array.from({ length: size }, (_, i) => one.pointAt(keyClass, i)),
              places: Array.from({ length: size }, (_, i) => one.places[from[i]] + steps[i]),
              costs: [...pairCosts.slice(0, size * one.size)],
            };
          });
          expect(ours).toEqual(theirs);
        }
      }),
      { numRuns: times(60) },
    );
  });

  it('are near as long as the flat table answers for all of them', () => {
    const surroundings = new Surroundings(justChooser);
    hear(surroundings, [C, 0, 1], [D, 2, 1]);
    expect(surroundings.near).toBe(true);
    hear(surroundings, [C, 0, 1], [ratio('16/9'), 10, 1], [ratio('7/4'), 10, 1]);
    expect(surroundings.near).toBe(false);
    hear(surroundings, [C, 0, 1], [ratio('16/9'), 10, 1]);
    expect(surroundings.near).toBe(true);
  });

  it('hold as many points as sound', () => {
    const surroundings = new Surroundings(justChooser);
    const places = Array.from({ length: 60 }, (_, n) => [[4 * n, -4 * n, n, 0, 0, 0], 0, 1] as const);
    surroundings.begin();
    const indexes = places.map(([point, keyClass, weight]) =>
      surroundings.hear([...point], keyClass, weight),
    );
    surroundings.end();
    expect(indexes).toEqual([0, ...Array.from({ length: 59 }, (_, i) => 12 + i)]);
    expect(surroundings.weights.slice(12, 71).every((weight) => weight === 1)).toBe(true);
  });

  it('forget what was heard and where a key class was last when they begin', () => {
    const surroundings = held([[7, '3/2']]);
    const fresh = new Surroundings(justChooser);
    for (const one of [surroundings, fresh]) hear(one, [C, 0, 1]);
    expect(costAt(surroundings, 4, ratio('81/64'))).toBe(costAt(fresh, 4, ratio('81/64')));
  });

  it('forget what a key class that comes back elsewhere cost', () => {
    const surroundings = held([[7, '3/2']]);
    expect(surroundings.lastFading[7]).toBe(1);
    hear(surroundings, [C, 0, 1]);
    expect(surroundings.lastFading[7]).toBe(0);
  });
});
