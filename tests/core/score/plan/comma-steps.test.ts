import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toCommaSteps, WIDEST_CENTS } from '../../../../src/core/score/plan/comma-steps.js';
import {
  formatRatio,
  multiply,
  type PrimeVector,
  power,
  ratio,
  sameClass,
  toDeviationCents,
  UNISON,
} from '../../../../src/core/theory/index.js';
import { forAll } from '../../../support/properties.js';

const toNames = (drift: PrimeVector): string[] => toCommaSteps(drift).map(formatRatio);

describe('the steps of a way home', () => {
  test.each([
    ['none for no drift', UNISON, []],
    ['a comma at a time', ratio('6400/6561'), ['81/80', '81/80']],
    ['up or down', ratio('81/80'), ['80/81']],
    ['a lesser diesis as a comma and a diaschisma', ratio('125/128'), ['81/80', '2048/2025']],
    ['a Pythagorean comma as a comma and a schisma', ratio('531441/524288'), ['80/81', '32768/32805']],
    ['a septimal comma as a comma and less than a third of one', ratio('64/63'), ['80/81', '5103/5120']],
  ] as const)('are split as follows: %s', (_, drift, steps) => expect(toNames(drift)).toEqual(steps));

  test('take few narrow ones for many, spread among the wide', () => {
    const steps = toCommaSteps(power(ratio('531441/524288'), 22));
    const narrow = steps.flatMap((step, i) => (Math.abs(toDeviationCents(step)) < 21.5 ? [i] : []));
    expect(steps).toHaveLength(24);
    expect(narrow).toHaveLength(2);
    expect(narrow[1] - narrow[0]).toBe(12);
  });

  test('give back the whole drift, whatever it is, none of them wider than a comma', () => {
    const count = fc.integer({ min: -9, max: 9 });
    const few = fc.integer({ min: -2, max: 2 });
    forAll([count, count, few, few, few], (commas, schismas, sevens, elevens, thirteens) => {
      const drift = [
        power(ratio('81/80'), commas),
        power(ratio('32805/32768'), schismas),
        power(ratio('64/63'), sevens),
        power(ratio('45/44'), elevens),
        power(ratio('65/64'), thirteens),
      ].reduce(multiply);
      const steps = toCommaSteps(drift);
      expect(sameClass(steps.reduce(multiply, drift), UNISON)).toBe(true);
      for (const step of steps) expect(Math.abs(toDeviationCents(step))).toBeLessThanOrEqual(WIDEST_CENTS);
    });
  });
});
