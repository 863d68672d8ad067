import { describe, expect, it } from 'vitest';
import { formatRatio, multiply, power, ratio } from '../../../src/core/theory/index.js';
import { Shape } from '../../../src/core/tuner/shape.js';
import { type HeldNote, held, justChooser } from '../../support/surroundings.js';

const TRIAD: HeldNote[] = [
  [0, '1/1'],
  [4, '5/4'],
  [7, '3/2'],
];

/** The same, so many commas higher. */
function shifted(notes: readonly HeldNote[], commas: number): HeldNote[] {
  const shift = power(ratio('81/80'), commas);
  return notes.map(([keyClass, text]) => [keyClass, formatRatio(multiply(ratio(text), shift))]);
}

describe('Shape', () => {
  it('is the same wherever the points stand', () => {
    const shape = new Shape();
    shape.take(held(TRIAD));
    for (const commas of [0, 1, -3, 200]) expect(shape.fits(held(shifted(TRIAD, commas)))).toBe(true);
  });

  it.each<[string, HeldNote[]]>([
    ['where one point stands elsewhere', [...TRIAD.slice(0, 2), [7, '40/27']]],
    ['where one is missing', TRIAD.slice(0, 2)],
    ['where the first is missing', TRIAD.slice(1)],
    ['where there is one more', [...TRIAD, [9, '5/3']]],
    ['where a key class sounds at two places', [...TRIAD, [7, '40/27']]],
    ['in another key', TRIAD.map(([keyClass, text]) => [keyClass + 1, text])],
    ['where nothing is', []],
  ])('is another %s', (_, notes) => {
    const shape = new Shape();
    shape.take(held(TRIAD));
    expect(shape.fits(held(notes))).toBe(false);
  });

  it('tells apart which key class sounds at a second place', () => {
    const shape = new Shape();
    shape.take(held([...TRIAD, [7, '40/27']]));
    expect(shape.fits(held([...TRIAD, [7, '40/27']]))).toBe(true);
    expect(shape.fits(held([...TRIAD, [4, '81/64']]))).toBe(false);
  });

  it('tells key classes apart even at one place', () => {
    const heard = held([...TRIAD, [7, '40/27']]);
    const shape = new Shape();
    shape.take(heard);
    const { size, points, places, deviationCents, fifths } = heard;
    const keyClasses = heard.keyClasses.with(12, 4);
    expect(shape.fits({ size, points, keyClasses, places, deviationCents, fifths })).toBe(false);
  });

  it('keeps a neighbourhood until another shape is taken', () => {
    const shape = new Shape();
    const [near, higher] = [held(TRIAD), held(shifted(TRIAD, 1))];
    shape.take(near);
    const known = shape.neighbourhoodOf(justChooser, near, 9);
    const { size } = known;
    known.size = 0;
    expect(shape.neighbourhoodOf(justChooser, higher, 9).size).toBe(0);
    shape.take(near);
    expect(shape.neighbourhoodOf(justChooser, near, 9).size).toBe(size);
  });
});
