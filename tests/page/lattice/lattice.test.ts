import { describe, expect, test } from 'vitest';
import type { LatticeKey, Window } from '../../../src/core/drawing/index.js';
import type { Frame } from '../../../src/core/protocol/index.js';
import type { Origin } from '../../../src/core/theory/index.js';
import { drawLattice } from '../../../src/page/lattice/drawing.js';
import { numbers } from '../../support/numbers.js';
import { frameOf } from '../frames.js';

const WINDOW = { centre: { x: 0, y: 0 }, halfWidth: 4, halfHeight: 2 };

function drawFrame(frame: Frame | undefined, ...rest: [Origin, LatticeKey[], Window]) {
  const points = (frame?.notes ?? []).map((note) => note.point);
  return drawLattice(points, frame?.recalled ?? [], ...rest);
}

describe('drawLattice', () => {
  test('inks sounding points once whatever their octaves, and marks the origin', () => {
    const { dots, sails } = drawFrame(frameOf('C3 C4 E4 G4'), { fifths: 0 }, [], WINDOW);
    const sounding = dots.filter((dot) => dot.state === 'sounding');
    expect(sounding.map((dot) => dot.name).toSorted()).toEqual(['C⁰', 'E⁻¹', 'G⁰']);
    expect(dots.filter((dot) => dot.isOrigin).map((dot) => dot.name)).toEqual(['C⁰']);
    expect(sails).toHaveLength(1);
  });

  test('draws a sounding point out of sight all the same, and points at an origin out of sight', () => {
    const far = { ...WINDOW, centre: { x: 40, y: 0 } };
    const { dots, pointer } = drawFrame(frameOf('C4 E4'), { fifths: 0 }, [], far);
    expect(dots.filter((dot) => dot.state === 'sounding')).toHaveLength(2);
    expect(pointer?.x).toBeCloseTo(36.5, 6);
    expect(Math.abs(pointer?.angle ?? 0)).toBe(180);
    expect(drawFrame(undefined, { fifths: 0 }, [], WINDOW).pointer).toBeUndefined();
  });

  test('fades the path of chords with age', () => {
    const centres: LatticeKey[] = numbers('0 0 0, 1 0 0, 2 0 0, 3 0 0');
    const { path } = drawFrame(undefined, { fifths: 0 }, centres, WINDOW);
    expect(path.map((place) => place.age)).toEqual([0.75, 0.5, 0.25, 0]);
  });

  test('names the points after the tonic', () => {
    const { dots } = drawFrame(undefined, { fifths: -3 }, [], WINDOW);
    expect(dots.find((dot) => dot.isOrigin)?.name).toBe('E♭⁰');
  });
});
