import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { findReturnPlaces, type ReturnQuestion } from '../../../../src/core/score/plan/return-places.js';
import { forAll } from '../../../support/properties.js';

const COMMA_CENTS = 1200 * Math.log2(81 / 80);

/** What a row of places costs by the words of it: the price of each, and of every second away from home. */
function toCost(question: ReturnQuestion, places: readonly number[]): number {
  const { stepCents, prices, awayCents, seconds } = question;
  let cost = 0;
  places.forEach((strike, i) => {
    cost += (prices[strike] * Math.abs(stepCents[i])) / COMMA_CENTS;
  });
  awayCents.forEach((away, at) => {
    const back = stepCents.reduce((sum, cents, i) => (places[i] <= at ? sum + cents : sum), 0);
    cost += 0.002 * seconds[at] * ((away + back) / COMMA_CENTS) ** 2;
  });
  return cost;
}

/** All rows of places there are. */
function* rowsOf(question: ReturnQuestion, from = 0, places: readonly number[] = []): Generator<number[]> {
  const { stepCents, prices, before } = question;
  if (places.length === stepCents.length) {
    yield [...places];
    return;
  }
  for (let at = Math.max(1, from); at < prices.length; at++) {
    const last = places.at(-1);
    if (prices[at] === Infinity || (last !== undefined && last > Math.min(before[at], at - 1))) continue;
    yield* rowsOf(question, at + 1, [...places, at]);
  }
}

const strike = fc.record({
  price: fc.oneof(fc.double({ min: 0, max: 20, noNaN: true }), fc.constant(Infinity)),
  back: fc.integer({ min: 1, max: 4 }),
  away: fc.double({ min: -100, max: 100, noNaN: true }),
  seconds: fc.double({ min: 0, max: 60, noNaN: true }),
});
const questions: fc.Arbitrary<ReturnQuestion> = fc
  .tuple(
    fc.array(strike, { minLength: 1, maxLength: 9 }),
    fc.array(fc.double({ min: -22, max: 22, noNaN: true }), { maxLength: 4 }),
  )
  .map(([strikes, stepCents]) => ({
    stepCents,
    prices: Float64Array.from(strikes, ({ price }) => price),
    before: Int32Array.from(strikes, ({ back }, at) => Math.max(0, at - back)),
    awayCents: Float64Array.from(strikes, ({ away }) => away),
    seconds: Float64Array.from(strikes, ({ seconds }) => seconds),
  }));

describe('the places of a row of returns', () => {
  test('are the cheapest of all rows there are, or none where there is no room', () => {
    forAll([questions], (question) => {
      const costs = [...rowsOf(question)].map((places) => toCost(question, places));
      const found = findReturnPlaces(question);
      if (costs.length === 0) {
        expect(found).toBeUndefined();
        return;
      }
      expect([...rowsOf(question)]).toContainEqual(found);
      expect(toCost(question, found!)).toBeCloseTo(Math.min(...costs), 9);
    });
  });

  test('are spread over a piece that drifts on and on, where one place is as good as another', () => {
    const length = 500;
    const places = findReturnPlaces({
      stepCents: new Array<number>(50).fill(COMMA_CENTS),
      prices: new Float64Array(length).fill(3),
      before: Int32Array.from({ length }, (_, at) => at - 1),
      awayCents: Float64Array.from({ length }, (_, at) => (-COMMA_CENTS * at) / 10),
      seconds: new Float64Array(length).fill(1),
    })!;
    places.forEach((at, i) => {
      expect(Math.abs(at - 10 * i - 5)).toBeLessThanOrEqual(2);
    });
  });

  test('are few strikes apart at most where something sounds for ever', () => {
    const length = 100;
    const places = findReturnPlaces({
      stepCents: new Array<number>(5).fill(COMMA_CENTS),
      prices: new Float64Array(length).fill(1),
      before: new Int32Array(length),
      awayCents: new Float64Array(length),
      seconds: new Float64Array(length).fill(0),
    })!;
    expect(places).toHaveLength(5);
    for (let i = 1; i < 5; i++) expect(places[i] - places[i - 1]).toBeGreaterThanOrEqual(16);
  });
});
