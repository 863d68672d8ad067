import { describe, expect, test } from 'vitest';
import { drawLattice } from '../../../src/page/lattice/drawing.js';
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
} from '../../../src/page/lattice/geometry.js';
import { frameOf } from '../frames.js';

const keysOfFrame = (keys: string) => frameOf(keys).notes.map((note) => toLatticeKey(note.point));
const WINDOW = { centre: { x: 0, y: 0 }, halfWidth: 4, halfHeight: 2 };

describe('geometry', () => {
  test('fifths along, thirds up, sevenths aslant', () => {
    expect(toPlace([1, 0, 0])).toEqual({ x: 1, y: 0 });
    expect(toPlace([0, 1, 0]).y).toBeLessThan(-0.5);
    expect(Math.abs(toPlace([0, 1, 0]).x)).toBeLessThan(0.5);
    const seventh = toPlace([0, 0, 1]);
    expect(Math.hypot(seventh.x, seventh.y)).toBeLessThan(
      Math.hypot(toPlace([0, 1, 0]).x, toPlace([0, 1, 0]).y),
    );
  });

  test('the grid fills the window and nothing beyond it', () => {
    const keys = gridWithin(WINDOW);
    expect(keys.length).toBeGreaterThan(30);
    for (const key of keys) {
      expect(Math.abs(toPlace(key).x)).toBeLessThanOrEqual(4 + 1e-9);
      expect(Math.abs(toPlace(key).y)).toBeLessThanOrEqual(2 + 1e-9);
    }
    for (const inside of [
      [0, 0, 0],
      [3, 1, 0],
      [-3, -2, 0],
    ] as LatticeKey[])
      expect(keys).toContainEqual(inside);
  });

  test('a major triad stands, a minor one hangs, a bare fifth is no sail', () => {
    expect(findSails(keysOfFrame('C4 E4 G4')).map((sail) => sail.kind)).toEqual(['major']);
    expect(findSails(keysOfFrame('A3 C4 E4')).map((sail) => sail.kind)).toEqual(['minor']);
    expect(findSails(keysOfFrame('C4 G4'))).toEqual([]);
    // Octaves don't make more of them.
    expect(findSails(keysOfFrame('C3 C4 E4 G4 C5'))).toHaveLength(1);
  });

  test('bonds are pure fifths and thirds, each once', () => {
    expect(findBonds(keysOfFrame('C3 C4 E4 G4'))).toHaveLength(3);
    expect(findBonds(keysOfFrame('C4 D4'))).toHaveLength(0);
  });

  test('the view stays until the music nears its edge', () => {
    const view = { x: 0, y: 0 };
    expect(follow(view, { x: 1.9, y: 0 }, 2, 1)).toBe(view);
    expect(follow(view, { x: 2.1, y: 0 }, 2, 1)).toEqual({ x: 2.1, y: 0 });
  });

  test('the plane is where most points lie', () => {
    expect(findPlane([])).toBe(0);
    expect(
      findPlane([
        [0, 0, -3],
        [1, 0, -3],
        [0, 0, -2],
      ]),
    ).toBe(-3);
    expect(
      findPlane([
        [0, 0, 1],
        [0, 0, 0],
      ]),
    ).toBe(0);
  });

  test('the grid of another plane fills the window as well', () => {
    const keys = gridWithin(WINDOW, -5);
    expect(keys.every((key) => key[2] === -5)).toBe(true);
    expect(Math.abs(keys.length - gridWithin(WINDOW).length)).toBeLessThan(12);
    for (const key of keys) expect(Math.abs(toPlace(key).x)).toBeLessThanOrEqual(4 + 1e-9);
  });

  test('the middle of nothing is nowhere', () => {
    expect(toCentre([])).toBeUndefined();
    expect(
      toCentre([
        [0, 0, 0],
        [2, 0, 0],
      ]),
    ).toEqual({ x: 1, y: 0 });
  });
});

describe('drawLattice', () => {
  test('sounding points are inked once whatever their octaves; the origin is told apart', () => {
    const { dots, sails } = drawLattice(frameOf('C3 C4 E4 G4'), { fifths: 0 }, [], WINDOW);
    const sounding = dots.filter((dot) => dot.state === 'sounding');
    expect(sounding.map((dot) => dot.name).toSorted()).toEqual(['C⁰', 'E⁻¹', 'G⁰']);
    expect(dots.filter((dot) => dot.isOrigin).map((dot) => dot.name)).toEqual(['C⁰']);
    expect(sails).toHaveLength(1);
  });

  test('a sounding point out of sight is drawn all the same; the origin out of sight is pointed at', () => {
    const far = { ...WINDOW, centre: { x: 40, y: 0 } };
    const { dots, pointer } = drawLattice(frameOf('C4 E4'), { fifths: 0 }, [], far);
    expect(dots.filter((dot) => dot.state === 'sounding')).toHaveLength(2);
    expect(pointer?.x).toBeCloseTo(36.5, 6);
    expect(Math.abs(pointer?.angle ?? 0)).toBe(180);
    expect(drawLattice(undefined, { fifths: 0 }, [], WINDOW).pointer).toBeUndefined();
  });

  test('the walk fades with age', () => {
    const centres: LatticeKey[] = [
      [0, 0, 0],
      [1, 0, 0],
      [2, 0, 0],
      [3, 0, 0],
    ];
    const { walk } = drawLattice(undefined, { fifths: 0 }, centres, WINDOW);
    expect(walk.map((place) => place.age)).toEqual([0.75, 0.5, 0.25, 0]);
  });

  test('a tonic of another name names the points', () => {
    const { dots } = drawLattice(undefined, { fifths: -3 }, [], WINDOW);
    expect(dots.find((dot) => dot.isOrigin)?.name).toBe('E♭⁰');
  });
});
