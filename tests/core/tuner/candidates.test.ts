import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { divide, multiply, power, ratio, sameClass } from '../../../src/core/theory/index.js';
import { costAt, createChooser, rankCandidates } from '../../../src/core/tuner/candidates.js';
import { STOCK_WEIGHTS } from '../../../src/core/tuner/index.js';
import { homeOn } from '../../support/play.js';
import { held, heldScene } from '../../support/surroundings.js';

const chooser = createChooser({ limit: 5, weights: STOCK_WEIGHTS, home: homeOn('just', 'C') });

describe('rankCandidates', () => {
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
      const [first] = rankCandidates(chooser, held([0, place]), keys);
      expect(sameClass(divide(first.point, ratio(place)), ratio(pure))).toBe(true);
    }
  });

  it('ranks from the cheapest up, and never nothing', () => {
    fc.assert(
      fc.property(heldScene, fc.nat(11), (surroundings, keyClass) => {
        const costs = rankCandidates(chooser, surroundings, keyClass).map(({ cost }) => cost);
        expect(costs.length).toBeGreaterThan(0);
        expect(costs).toEqual([...costs].sort((a, b) => a - b));
      }),
    );
  });

  it('measures the same by the flat table as pair by pair', () => {
    fc.assert(
      fc.property(heldScene, fc.nat(11), (surroundings, keyClass) => {
        expect(surroundings.near).toBe(true);
        const far = rankCandidates(chooser, { ...surroundings, near: false }, keyClass);
        expect(rankCandidates(chooser, surroundings, keyClass)).toEqual(far);
      }),
    );
  });

  it('ranks in a context too far apart for the table', () => {
    const eightCommas = '1853020188851841/1677721600000000'; // (81/80)^8: 32 fifths up, 8 thirds down
    for (const place of [eightCommas, '64/63']) {
      const surroundings = held([0, '1/1'], [7, place]);
      expect(surroundings.near).toBe(false);
      const [first] = rankCandidates(chooser, surroundings, 0);
      expect(sameClass(first.point, ratio('1/1'))).toBe(true);
    }
  });
});

describe('costAt', () => {
  it('costs a candidate what it was ranked by', () => {
    fc.assert(
      fc.property(heldScene, fc.nat(11), fc.boolean(), (scene, keyClass, near) => {
        const surroundings = { ...scene, near, fifthsMean: 1.5 };
        for (const { point, cost } of rankCandidates(chooser, surroundings, keyClass))
          expect(costAt(chooser, surroundings, keyClass, point)).toBeCloseTo(cost, 9);
      }),
    );
  });

  it('costs any other point too, however far', () => {
    const near = costAt(chooser, held([0, '1/1']), 7, ratio('3/2'));
    const wolf = costAt(chooser, held([0, '1/1']), 7, ratio('40/27'));
    const far = costAt(chooser, held([0, '1/1']), 7, multiply(ratio('3/2'), power(ratio('81/80'), 60)));
    expect(near).toBeLessThan(wolf);
    expect(wolf).toBeLessThan(far);
  });
});
