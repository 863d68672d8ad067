import { describe, expect, test } from 'vitest';
import { formatRatio, parseHomeList, parseTonic, toHome } from '../../../src/core/theory/index.js';
import { createSeeds } from '../../../src/core/tuner/chooser.js';
import { homeOn } from '../../support/play.js';

describe('createSeeds', () => {
  test('takes the points of home where the limit allows them', () => {
    const home = homeOn('just', 'D');
    expect(createSeeds(home, 5)).toEqual(Array.from({ length: 12 }, (_, keyClass) => home.points[keyClass]));
  });

  test('leaves prime 5 out of the 3-limit', () => {
    const seeds = createSeeds(homeOn('just', 'C'), 3);
    expect([seeds[4], seeds[7], seeds[9]].map(formatRatio)).toEqual(['81/64', '3/2', '27/16']);
  });

  test.each([5, 7, 13] as const)(
    '%i-limit: leaves out primes that enter by the harmonic chord alone',
    (limit) => {
      const tonic = parseTonic('C');
      const list = parseHomeList('1/1 16/15 9/8 7/6 5/4 4/3 11/8 3/2 13/8 5/3 7/4 15/8'.split(' '));
      if (!tonic.ok || !list.ok) throw new Error('a list of twelve ratios on C');
      const seeds = createSeeds(toHome({ kind: 'list', tonic: tonic.value, list: list.value }), limit);
      expect(seeds.map(formatRatio)).toEqual(
        '1/1 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8'.split(' '),
      );
    },
  );
});
