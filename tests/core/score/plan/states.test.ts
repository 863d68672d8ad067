import { describe, expect, it } from 'vitest';
import { Pool, type State } from '../../../../src/core/score/plan/states.js';
import { toSpot } from '../../../../src/core/score/plan/surroundings.js';
import { ratio } from '../../../../src/core/theory/index.js';

function state(cost: number, fifthsMean: number, ...places: string[]): State {
  const spots = places.map((text) => toSpot(ratio(text)));
  return { cost, fifthsMean, spots, parent: undefined, places: [], level: 0 };
}

describe('a pool of states', () => {
  it('keeps, of those with the same future, the cheapest alone', () => {
    const pool = new Pool(2);
    for (const one of [state(3, 0, '1/1', '3/2'), state(2, 0, '1/1', '3/2'), state(4, 0, '1/1', '3/2')])
      pool.add(one);
    expect(pool.states.map(({ cost }) => cost)).toEqual([2]);
  });

  it('keeps those that differ in a place', () => {
    const pool = new Pool(2);
    for (const one of [state(3, 0, '1/1', '3/2'), state(2, 0, '1/1', '40/27')]) pool.add(one);
    expect(pool.states).toHaveLength(2);
  });

  it('keeps those that differ though their hash is one', () => {
    const pool = new Pool(2);
    const at = (...places: number[]): State => ({
      ...state(places[0], 0),
      spots: places.map((place) => ({ ...toSpot(ratio('1/1')), place })),
    });
    // 31 · 1 + 31 = 31 · 2 + 0
    pool.add(at(1, 31));
    pool.add(at(2, 0));
    expect(pool.states.map(({ cost }) => cost)).toEqual([1, 2]);
  });

  it('keeps a dearer one whose place on the line of fifths may yet make up for it, and no other', () => {
    const pool = new Pool(2);
    pool.add(state(3, 0, '1/1'));
    pool.add(state(4, 1, '1/1')); // a fifth apart can make up for 2
    pool.add(state(6, 1.2, '1/1'));
    expect(pool.states.map(({ cost }) => cost)).toEqual([3, 4]);
    pool.add(state(1, 0.4, '1/1'));
    expect(pool.states.map(({ cost }) => cost).sort()).toContain(1);
    expect(pool.states.map(({ cost }) => cost)).not.toContain(3);
  });
});
