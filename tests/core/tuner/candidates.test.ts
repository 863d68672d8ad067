import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  divide,
  formatRatio,
  multiply,
  power,
  ratio,
  sameClass,
  toDeviationCents,
  toFifths,
  withKeys,
} from '../../../src/core/theory/index.js';
import { costAt, MAX_CANDIDATES, Rankings } from '../../../src/core/tuner/candidates.js';
import { createChooser } from '../../../src/core/tuner/chooser.js';
import { STOCK_WEIGHTS } from '../../../src/core/tuner/index.js';
import { toPlace } from '../../../src/core/tuner/pair-cost.js';
import { homeOn } from '../../support/play.js';
import { candidatesBeside, held, heldNotes, listCandidates } from '../../support/surroundings.js';

describe('Rankings', () => {
  it.each([
    [7, '3/2'],
    [5, '4/3'],
    [4, '5/4'],
    [3, '6/5'],
    [9, '5/3'],
    [8, '8/5'],
    [0, '1/1'],
  ])('%i keys above a held note: %s first, wherever that note stands', (keys, pure) => {
    for (const place of ['1/1', '81/80', '64/45']) {
      const [first] = candidatesBeside([[0, place]], keys);
      expect(sameClass(divide(first.point, ratio(place)), ratio(pure))).toBe(true);
    }
  });

  it('ranks from the cheapest up, and never nothing, nor too many', () => {
    fc.assert(
      fc.property(heldNotes, fc.nat(11), (notes, keyClass) => {
        const costs = candidatesBeside(notes, keyClass).map(({ cost }) => cost);
        expect(costs.length).toBeGreaterThan(0);
        expect(costs.length).toBeLessThanOrEqual(MAX_CANDIDATES);
        for (let i = 1; i < costs.length; i++) expect(costs[i]).toBeGreaterThan(costs[i - 1] - 1e-9);
      }),
    );
  });

  it('says of each candidate where it stands', () => {
    fc.assert(
      fc.property(heldNotes, fc.nat(11), (notes, keyClass) => {
        for (const { point, place, deviationCents } of candidatesBeside(notes, keyClass)) {
          expect(place).toBe(toPlace(point));
          expect(deviationCents).toBeCloseTo(toDeviationCents(point), 9);
        }
      }),
    );
  });

  it('puts the smaller ratio first where two cost the same, whichever is found first', () => {
    // With home half way between 6/5 and 32/27, a minor third above the tonic. F is nearer to 32/27.
    const [minorThird, pythagorean] = [ratio('6/5'), ratio('32/27')].map(toDeviationCents);
    const chooser = createChooser({ limit: 5, weights: STOCK_WEIGHTS, home: homeOn('equal', 'C') });
    for (const heard of [
      [0, '1/1'],
      [5, '4/3'],
    ] as const) {
      const surroundings = held([heard], chooser);
      surroundings.weights[heard[0]] = 0;
      surroundings.wasLastAt(heard[0], 0, 0);
      surroundings.offsetCents = -(minorThird + pythagorean) / 2;
      const [first, second] = listCandidates(new Rankings(surroundings), 3);
      expect(second.cost).toBeCloseTo(first.cost, 9);
      expect([first, second].map(({ point }) => formatRatio(withKeys(point, 3)))).toEqual(['6/5', '32/27']);
    }
  });

  it('leaves none out that costs less than those it keeps', () => {
    fc.assert(
      fc.property(heldNotes, fc.nat(11), (notes, keyClass) => {
        const surroundings = held(notes);
        const ranked = listCandidates(new Rankings(surroundings), keyClass);
        const dearest = ranked[ranked.length - 1].cost;
        const neighbourhood = surroundings.neighbourhoodOf(keyClass);
        const points = Array.from({ length: neighbourhood.size }, (_, i) =>
          surroundings.pointAt(keyClass, i),
        );
        const cheaper = points.filter((point) => costAt(surroundings, keyClass, point) < dearest - 1e-9);
        expect(cheaper.length).toBeLessThan(ranked.length);
        if (points.length <= MAX_CANDIDATES) expect(ranked).toHaveLength(points.length);
      }),
    );
  });

  it('ranks in surroundings too far apart for the table', () => {
    const eightCommas = '1853020188851841/1677721600000000'; // (81/80)^8: 32 fifths up, 8 thirds down
    for (const place of [eightCommas, '64/63']) {
      const surroundings = held([
        [0, '1/1'],
        [7, place],
      ]);
      expect(surroundings.near).toBe(false);
      const [first] = listCandidates(new Rankings(surroundings), 0);
      expect(sameClass(first.point, ratio('1/1'))).toBe(true);
    }
  });

  it('keeps what is ranked until it is cleared', () => {
    const surroundings = held([[0, '1/1']]);
    const rankings = new Rankings(surroundings);
    const [first] = listCandidates(rankings, 7);
    surroundings.weights[0] = 2;
    expect(listCandidates(rankings, 7)[0].cost).toBe(first.cost);
    rankings.clear();
    expect(listCandidates(rankings, 7)[0].cost).toBeGreaterThan(first.cost);
  });
});

describe('costAt', () => {
  it('costs a candidate what it was ranked by', () => {
    fc.assert(
      fc.property(heldNotes, fc.nat(11), (notes, keyClass) => {
        const surroundings = held(notes);
        surroundings.fifthsMean = 1.5;
        for (const { point, cost } of listCandidates(new Rankings(surroundings), keyClass))
          expect(costAt(surroundings, keyClass, point)).toBeCloseTo(cost, 9);
      }),
    );
  });

  it('costs any other point too, however far', () => {
    const beside = (text: string, commas = 0) =>
      costAt(held([[0, '1/1']]), 7, multiply(ratio(text), power(ratio('81/80'), commas)));
    expect(beside('3/2')).toBeLessThan(beside('40/27'));
    expect(beside('40/27')).toBeLessThan(beside('3/2', 60));
  });

  it('adds the prices of coming back elsewhere, of spelling and of home', () => {
    const weights = { ...STOCK_WEIGHTS, distance: [0, 0, 0, 0, 0, 0, 0] as const, strangeSlope: 0 };
    const silent = { ...weights, impure: [0, 0, 0, 0, 0, 0, 0] as const };
    const chooser = createChooser({ limit: 5, weights: silent, home: homeOn('just', 'C') });
    const surroundings = held([[0, '1/1']], chooser);
    surroundings.fifthsMean = -1;
    surroundings.offsetCents = 3;
    surroundings.homeLean = 0.02;
    surroundings.wasLastAt(7, 10, 0.5);
    const point = ratio('40/27');
    const { returnPrice, returnStep, returnCents, fifthsPrice, fifthsBias } = STOCK_WEIGHTS;
    const cents = toDeviationCents(point);
    const back = returnPrice * 0.5 * (returnStep + Math.abs(cents - 10) / returnCents);
    const spelling = fifthsPrice * Math.abs(toFifths(point) + 1 - fifthsBias);
    const home = 0.02 * Math.abs(cents + 3 - toDeviationCents(ratio('3/2')));
    expect(costAt(surroundings, 7, point)).toBeCloseTo(back + spelling + home, 5);
    // Not from where it stands already, nor where it was never heard.
    surroundings.wasLastAt(7, cents + 0.4, 0.5);
    expect(costAt(surroundings, 7, point)).toBeCloseTo(spelling + home, 5);
    surroundings.wasLastAt(7, 10, 0);
    expect(costAt(surroundings, 7, point)).toBeCloseTo(spelling + home, 5);
  });
});
