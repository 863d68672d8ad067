import { describe, expect, it } from 'vitest';
import {
  formatRatio,
  type PrimeVector,
  ratio,
  toDeviationCents,
  toFifths,
} from '../../../src/core/theory/index.js';
import { Neighbourhood } from '../../../src/core/tuner/neighbourhood.js';
import { toPlace } from '../../../src/core/tuner/pair-cost.js';
import { type HeldNote, held, justChooser } from '../../support/surroundings.js';

/** Within the octave above 1/1, as tables of intervals write it. */
function toText(point: PrimeVector): string {
  let octaves = 0;
  const cents = () => 1200 * (octaves + point[1] * Math.log2(3) + point[2] * Math.log2(5));
  while (cents() < -0.01) octaves++;
  while (cents() >= 1199.99) octaves--;
  return formatRatio([octaves, ...point.slice(1)] as unknown as PrimeVector);
}

function list(notes: readonly HeldNote[], keyClass: number, near = true) {
  const surroundings = held(notes);
  const neighbourhood = new Neighbourhood();
  neighbourhood.find(justChooser, surroundings, near, keyClass);
  const all = Array.from({ length: neighbourhood.size }, (_, i) => i);
  return { surroundings, neighbourhood, points: all.map((i) => neighbourhood.pointAt(surroundings, i)) };
}

describe('Neighbourhood', () => {
  it('of a whole tone above a note are the two whole tones of the just scale', () => {
    expect(list([[0, '1/1']], 2).points.map(toText)).toEqual(expect.arrayContaining(['9/8', '10/9']));
  });

  it('has every point once, from whatever it is reached', () => {
    const beside: HeldNote[] = [
      [0, '1/1'],
      [4, '5/4'],
      [7, '3/2'],
      [9, '5/3'],
    ];
    for (let keyClass = 0; keyClass < 12; keyClass++) {
      const texts = list(beside, keyClass).points.map(toText);
      expect(new Set(texts).size).toBe(texts.length);
      for (const one of beside) {
        for (const text of list([one], keyClass).points.map(toText)) expect(texts).toContain(text);
      }
    }
  });

  it('says of each where it stands, and what it costs beside each point', () => {
    const beside: HeldNote[] = [
      [0, '1/1'],
      [2, '10/9'],
    ];
    for (const near of [true, false]) {
      const { surroundings, neighbourhood, points } = list(beside, 5, near);
      points.forEach((point, i) => {
        const from = neighbourhood.from[i];
        const { places, deviationCents, fifths } = surroundings;
        expect(places[from] + neighbourhood.steps[i]).toBe(toPlace(point));
        expect(deviationCents[from] + neighbourhood.deviationCents[i]).toBeCloseTo(
          toDeviationCents(point),
          9,
        );
        expect(fifths[from] + neighbourhood.fifths[i]).toBe(toFifths(point));
        for (let at = 0; at < surroundings.size; at++) {
          const one = beside.find(([keyClass]) => keyClass === at);
          const cost = one === undefined ? 0 : justChooser.pairCost.between(point, ratio(one[1]));
          expect(neighbourhood.pairCosts[i * surroundings.size + at]).toBeCloseTo(cost, 12);
        }
      });
    }
  });

  it('grows with what is heard, however far apart', () => {
    // A key class that sounds at forty places, each a comma below the last: as after forty pumps with all of it held.
    const commas = Array.from({ length: 40 }, (_, n): HeldNote => {
      return [0, formatRatio([4 * n, -4 * n, n, 0, 0, 0])];
    });
    const { surroundings, neighbourhood, points } = list(commas, 7, false);
    expect(surroundings.size).toBe(12 + 39);
    expect(points.length).toBeGreaterThanOrEqual(40);
    const last = points.length - 1;
    expect(surroundings.places[neighbourhood.from[last]] + neighbourhood.steps[last]).toBe(
      toPlace(points[last]),
    );
    for (let n = 0; n < 40; n++) {
      const at = n === 0 ? 0 : 11 + n;
      const cost = justChooser.pairCost.between(points[last], ratio(commas[n][1]));
      expect(neighbourhood.pairCosts[last * surroundings.size + at]).toBeCloseTo(cost, 12);
    }
  });
});
