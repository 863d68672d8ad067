import { describe, expect, it } from 'vitest';
import { toSpot } from '../../../../src/core/score/plan/path-cost.js';
import { Pool, type State } from '../../../../src/core/score/plan/search.js';
import { ratio } from '../../../../src/core/theory/index.js';

function state(cost: number, ...places: string[]): State {
  const spots = places.map((text) => toSpot(ratio(text)));
  return { cost, spots, parent: undefined, places: [] };
}

describe('a pool of states', () => {
  it('keeps, of those with the same future, the cheapest alone', () => {
    const pool = new Pool();
    for (const one of [state(3, '1/1', '3/2'), state(2, '1/1', '3/2'), state(4, '1/1', '3/2')]) pool.add(one);
    expect(pool.states.map(({ cost }) => cost)).toEqual([2]);
  });

  it('keeps those that differ in a place', () => {
    const pool = new Pool();
    for (const one of [state(3, '1/1', '3/2'), state(2, '1/1', '40/27')]) pool.add(one);
    expect(pool.states).toHaveLength(2);
  });

  it('keeps those that differ though their hash is one', () => {
    const pool = new Pool();
    const at = (...places: number[]): State => ({
      ...state(places[0]),
      spots: places.map((place) => ({ ...toSpot(ratio('1/1')), place })),
    });
    // 31 · 1 + 31 = 31 · 2 + 0
    pool.add(at(1, 31));
    pool.add(at(2, 0));
    expect(pool.states.map(({ cost }) => cost)).toEqual([1, 2]);
  });

  it('takes out a dearer one of the same future, and none else', () => {
    const pool = new Pool();
    for (const one of [state(3, '1/1'), state(4, '3/2'), state(1, '1/1'), state(2, '1/1')]) pool.add(one);
    expect(pool.states.map(({ cost }) => cost).sort()).toEqual([1, 4]);
  });
});
