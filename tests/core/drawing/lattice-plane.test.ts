import { describe, expect, test } from 'vitest';
import {
  findBonds,
  findPlane,
  findSails,
  follow,
  gridWithin,
  type LatticeKey,
  toCentre,
  toLatticeKey,
  toPlace,
} from '../../../src/core/drawing/index.js';
import { ratio } from '../../../src/core/theory/index.js';
import { numbers } from '../../support/numbers.js';

const keysOf = (ratios: string) => ratios.split(' ').map((text) => toLatticeKey(ratio(text)));
const WINDOW = { centre: { x: 0, y: 0 }, halfWidth: 4, halfHeight: 2 };

describe('the plane of the lattice', () => {
  test('has fifths along, thirds up, sevenths aslant', () => {
    expect(toPlace([1, 0, 0])).toEqual({ x: 1, y: 0 });
    expect(toPlace([0, 1, 0]).y).toBeLessThan(-0.5);
    expect(Math.abs(toPlace([0, 1, 0]).x)).toBeLessThan(0.5);
    const seventh = toPlace([0, 0, 1]);
    expect(Math.hypot(seventh.x, seventh.y)).toBeLessThan(
      Math.hypot(toPlace([0, 1, 0]).x, toPlace([0, 1, 0]).y),
    );
  });

  test('has a grid that fills the window and nothing beyond', () => {
    const keys = gridWithin(WINDOW);
    expect(keys.length).toBeGreaterThan(30);
    for (const key of keys) {
      expect(Math.abs(toPlace(key).x)).toBeLessThanOrEqual(4 + 1e-9);
      expect(Math.abs(toPlace(key).y)).toBeLessThanOrEqual(2 + 1e-9);
    }
    for (const inside of numbers('0 0 0, 3 1 0, -3 -2 0') as LatticeKey[])
      expect(keys).toContainEqual(inside);
  });

  test('shows a major triad pointing up, a minor one pointing down, and a bare fifth as no triangle', () => {
    expect(findSails(keysOf('1/1 5/4 3/2')).map((sail) => sail.kind)).toEqual(['major']);
    expect(findSails(keysOf('5/6 1/1 5/4')).map((sail) => sail.kind)).toEqual(['minor']);
    expect(findSails(keysOf('1/1 3/2'))).toEqual([]);
    // Octaves don't make more of them.
    expect(findSails(keysOf('1/2 1/1 5/4 3/2 2/1'))).toHaveLength(1);
  });

  test('has a bond for each pure fifth and third, once', () => {
    expect(findBonds(keysOf('1/2 1/1 5/4 3/2'))).toHaveLength(3);
    expect(findBonds(keysOf('1/1 9/8'))).toHaveLength(0);
  });

  test('does not move until the music nears its edge', () => {
    const view = { x: 0, y: 0 };
    expect(follow(view, { x: 1.9, y: 0 }, 2, 1)).toBe(view);
    expect(follow(view, { x: 2.1, y: 0 }, 2, 1)).toEqual({ x: 2.1, y: 0 });
  });

  test('is where most points are', () => {
    expect(findPlane([])).toBe(0);
    expect(findPlane(numbers('0 0 -3, 1 0 -3, 0 0 -2'))).toBe(-3);
    expect(
      findPlane([
        [0, 0, 1],
        [0, 0, 0],
      ]),
    ).toBe(0);
  });

  test('has a grid that fills the window in another plane as well', () => {
    const keys = gridWithin(WINDOW, -5);
    expect(keys.every((key) => key[2] === -5)).toBe(true);
    expect(Math.abs(keys.length - gridWithin(WINDOW).length)).toBeLessThan(12);
    for (const key of keys) expect(Math.abs(toPlace(key).x)).toBeLessThanOrEqual(4 + 1e-9);
  });

  test('has no middle without points', () => {
    expect(toCentre([])).toBeUndefined();
    expect(
      toCentre([
        [0, 0, 0],
        [2, 0, 0],
      ]),
    ).toEqual({ x: 1, y: 0 });
  });
});
