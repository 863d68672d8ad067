import { describe, expect, it } from 'vitest';
import { ratio, sameClass } from '../../../src/core/theory/index.js';
import { costAt } from '../../../src/core/tuner/candidates.js';
import { Surroundings } from '../../../src/core/tuner/surroundings.js';
import { held, justChooser } from '../../support/surroundings.js';

const [C, D, HIGH_D] = ['1/1', '10/9', '9/8'].map(ratio);

function hear(surroundings: Surroundings, ...heard: readonly [typeof C, number, number][]): number[] {
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
    const alone = (point: typeof C, weight: number) => {
      const one = new Surroundings(justChooser);
      hear(one, [point, 2, weight]);
      return costAt(one, 9, ratio('5/3')) - costAt(held([]), 9, ratio('5/3'));
    };
    const together = costAt(surroundings, 9, ratio('5/3')) - costAt(held([]), 9, ratio('5/3'));
    const onC = justChooser.pairCost.between(ratio('5/3'), C);
    expect(together).toBeCloseTo(alone(D, 1.5) + alone(HIGH_D, 1.75) + onC, 9);
  });

  it('find neighbourhoods anew when a point is another, and only then', () => {
    const surroundings = new Surroundings(justChooser);
    const fifth = () => surroundings.neighbourhoodOf(9).pointAt(0);
    hear(surroundings, [D, 2, 1]);
    expect(sameClass(fifth(), ratio('5/3'))).toBe(true);
    // The same points, weighed otherwise.
    const { pairCosts } = surroundings.neighbourhoodOf(9);
    pairCosts[2] = 99;
    hear(surroundings, [D, 2, 0.1]);
    expect(surroundings.neighbourhoodOf(9).pairCosts[2]).toBe(99);
    hear(surroundings, [HIGH_D, 2, 1]);
    expect(surroundings.neighbourhoodOf(9).pairCosts[2]).toBeLessThan(99);
    expect(sameClass(fifth(), ratio('27/16'))).toBe(true);
    // What isn't heard any more doesn't count, even where it is the only change.
    hear(surroundings, [HIGH_D, 2, 1], [C, 0, 1]);
    const beside = surroundings.neighbourhoodOf(9).size;
    hear(surroundings, [HIGH_D, 2, 1]);
    expect(surroundings.neighbourhoodOf(9).size).toBeLessThan(beside);
    // Two places of one key class, then one of them.
    hear(surroundings, [HIGH_D, 2, 1], [D, 2, 1]);
    const both = surroundings.neighbourhoodOf(9).size;
    hear(surroundings, [HIGH_D, 2, 1]);
    expect(surroundings.neighbourhoodOf(9).size).toBeLessThan(both);
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

  it('forget where a key class was last when they begin', () => {
    const surroundings = held([[7, '3/2']]);
    expect(surroundings.lastFading[7]).toBe(1);
    hear(surroundings, [C, 0, 1]);
    expect(surroundings.lastFading[7]).toBe(0);
  });
});
