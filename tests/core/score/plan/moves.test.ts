import { expect, it } from 'vitest';
import { toWidestMove } from '../../../../src/core/score/plan/plan-home.js';
import { multiply, type PrimeVector, ratio, toDeviationCents } from '../../../../src/core/theory/index.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, toChords } from '../../../support/planning.js';

const SETTINGS = toSettings({ strategy: 'free' });
const COMMA = ratio('81/80');
const COMMA_CENTS = toDeviationCents(COMMA);

it('the widest move beyond what is asked is the widest step between neighbouring strikes', () => {
  const { problem, live } = pose(toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 G4 B4', 'C4 E4 G4'], false), SETTINGS);
  const moved = (commas: (strike: number, keyClass: number) => number): PrimeVector[] =>
    live.map((point, slot) => {
      const { strike, keyClass } = problem.slots[slot];
      let product = point;
      for (let i = 0; i < commas(strike, keyClass); i++) product = multiply(product, COMMA);
      return product;
    });
  const widest = (path: PrimeVector[]) => toWidestMove(problem, path, live);
  expect(widest([...live])).toBe(0);
  expect(widest(moved(() => 2))).toBeCloseTo(0, 9);
  expect(widest(moved((strike) => Number(strike >= 2)))).toBeCloseTo(COMMA_CENTS, 9);
  // Two at different strikes are each by itself; two at one are not.
  expect(widest(moved((strike) => Number(strike >= 1) + Number(strike >= 3)))).toBeCloseTo(COMMA_CENTS, 9);
  expect(widest(moved((strike) => 2 * Number(strike >= 1)))).toBeCloseTo(2 * COMMA_CENTS, 9);
});

it('a note that is held over a return meets what comes after it too', () => {
  const { problem, live } = pose(toChords(['C4 E4', 'C4 F4', 'C4 G4']), SETTINGS);
  const path = live.map((point, slot) => {
    let product = point;
    for (let at = 1; at <= problem.slots[slot].strike; at++) product = multiply(product, COMMA);
    return product;
  });
  // C is held from the first strike to the last, and two returns lie between.
  expect(toWidestMove(problem, path, live)).toBeCloseTo(2 * COMMA_CENTS, 9);
});
