import { describe, expect, it } from 'vitest';
import { Hearing, moveFifthsMean, toSpot } from '../../../../src/core/score/plan/surroundings.js';
import { ratio, sameClass } from '../../../../src/core/theory/index.js';
import {
  createChooser,
  createSeeds,
  Rankings,
  STOCK_SETTINGS,
  STOCK_WEIGHTS,
  Surroundings,
  toSettings,
} from '../../../../src/core/tuner/index.js';
import { pose, toChords } from '../../../support/planning.js';

const SETTINGS = toSettings({ strategy: 'free' });
const RANKINGS = new Rankings(new Surroundings(createChooser(STOCK_SETTINGS)));
const SEEDS = createSeeds(SETTINGS.home, SETTINGS.limit);

describe('what a strike is measured against', () => {
  const { problem } = pose(toChords(['C4 E4', 'E4 G4']), SETTINGS);

  it('before anything was heard is home', () => {
    const hearing = new Hearing(problem, RANKINGS, problem.strikes[0], () => toSpot(SEEDS[0]), SEEDS, 0);
    const places = hearing.rank(1).map(({ point }) => point);
    expect(places.some((point) => sameClass(point, ratio('5/4')))).toBe(true);
    // Nothing weighs against them yet but their place on the line of fifths.
    for (const point of places) expect(hearing.costAt(1, point)).toBeLessThan(2);
  });

  it('is what was placed before, wherever that is', () => {
    const [third] = problem.strikes[1].context.filter(({ keyClass }) => keyClass === 4);
    for (const [at, pure] of [
      ['5/4', '3/2'],
      ['81/64', '243/160'],
    ]) {
      const spotOf = (slot: number) => toSpot(ratio(slot === third.slot ? at : '1/1'));
      const hearing = new Hearing(problem, RANKINGS, problem.strikes[1], spotOf, SEEDS, 0);
      const slot = problem.strikes[1].first;
      const [first] = hearing.rank(slot);
      expect(sameClass(first.point, ratio(pure))).toBe(true);
      expect(hearing.costAt(slot, first.point)).toBeCloseTo(first.cost, 9);
    }
  });
});

it('the mean on the line of fifths follows note by note, by the tuner’s share', () => {
  const once = moveFifthsMean(0, ratio('9/8'), 1, STOCK_WEIGHTS);
  expect(once).toBeCloseTo(2 * STOCK_WEIGHTS.fifthsShare, 12);
  expect(moveFifthsMean(0, ratio('9/8'), 2, STOCK_WEIGHTS)).toBe(
    moveFifthsMean(once, ratio('9/8'), 1, STOCK_WEIGHTS),
  );
});
