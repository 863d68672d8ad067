import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  formatRatio,
  type PrimeVector,
  toDeviationCents,
  toFifths,
  withKeys,
} from '../../../src/core/theory/index.js';
import { type Chooser, createChooser } from '../../../src/core/tuner/chooser.js';
import { DEFAULT_WEIGHTS, HELD, LOOSE } from '../../../src/core/tuner/index.js';
import type { ChoiceEffort } from '../../../src/core/tuner/part-search.js';
import { StrikeSearch, type WholeCost } from '../../../src/core/tuner/strike-choice.js';
import { type Surroundings, toPairPrice } from '../../../src/core/tuner/surroundings.js';
import { homeOn } from '../../support/play.js';
import { amongAll, forAll } from '../../support/properties.js';
import {
  type Heard,
  hear,
  heardShades,
  heldAt,
  pointOf,
  strike,
  toClass,
} from '../../support/surroundings.js';
import {
  isNear,
  isPureWith,
  isSpelledWell,
  JUST,
  listPureWays,
  listWays,
  toFifthsList,
} from '../../support/ways.js';

const BEST: ChoiceEffort = { fan: 1, slack: 0, steps: Infinity };

function find(surroundings: Surroundings, places: readonly number[], effort = BEST, wholeCost?: WholeCost) {
  return new StrikeSearch(surroundings).find(
    strike(places.map(toClass)),
    toFifthsList(places),
    effort,
    wholeCost,
  );
}

/** What is chosen beside held notes, as ratios to the tonic. */
function choose(heard: readonly Heard[], places: readonly number[], chooser?: Chooser): string {
  const { choices } = find(hear(heard, chooser), places);
  const names = places.map((place) =>
    formatRatio(withKeys(choices[0].points[toClass(place)], toClass(place))),
  );
  return names.join(' ');
}

const loose = (one: Heard): Heard => ({ ...one, binding: LOOSE });
const ended = (text: string, ageSeconds = 0): Heard => ({ ...heldAt(text), ageSeconds, binding: 0 });

describe('a held note', () => {
  test('binds struck notes that are consonant with it, whatever is remembered', () => {
    // A chain of fifths from C: A is 27/16 then, though the remembered F and E want 5/3.
    expect(choose([heldAt('9/8'), ended('4/3'), ended('5/4'), ended('5/3')], [3])).toBe('27/16');
    expect(choose([heldAt('10/9'), ended('27/16'), ended('81/64')], [3])).toBe('5/3');
  });

  test('decides the place of a whole connected chord', () => {
    // D minor beside a held A⁻¹: D is 10/9, and so is all the rest.
    expect(choose([heldAt('5/3'), ended('9/8')], [2, -1])).toBe('10/9 4/3');
    // G B D beside D⁻¹, by its fifth alone.
    expect(choose([heldAt('10/9'), ended('3/2'), ended('15/8')], [1, 5])).toBe('40/27 50/27');
  });

  test('decides nothing where there is no consonance, and memory does', () => {
    expect(choose([heldAt('1/1'), ended('9/8')], [2])).toBe('9/8');
    expect(choose([heldAt('1/1'), ended('10/9')], [2])).toBe('10/9');
    // An augmented second is no third.
    expect(choose([heldAt('6/5'), ended('45/32')], [6])).toBe('45/32');
  });
});

test('held notes that contradict each other leave an octave pure before a fifth, and a fifth before a third', () => {
  // F under C and a Pythagorean A: the third gives way.
  expect(choose([heldAt('1/1'), heldAt('27/16')], [-1])).toBe('4/3');
  // C over C and under a G a comma low: the fifth gives way.
  expect(choose([heldAt('1/1'), heldAt('40/27')], [0])).toBe('1/1');
});

test('held notes that contradict each other leave as little impure as can be: three thirds before a fifth', () => {
  // E over C and under G, A over C: all pure, but for the fifth from D to A.
  expect(choose([heldAt('1/1'), heldAt('3/2')], [4, 3])).toBe('5/4 5/3');
  expect(choose([heldAt('1/1'), heldAt('3/2'), heldAt('9/8')], [4, 3])).toBe('81/64 27/16');
});

test('a note that only a pedal holds does not bind against a held note', () => {
  // F is a third from A, which is held, though it be impure to the D that rings on.
  expect(choose([heldAt('5/3'), loose(heldAt('9/8'))], [-1])).toBe('4/3');
  expect(choose([loose(heldAt('5/3')), heldAt('9/8')], [-1])).toBe('27/20');
});

test('a note that only a pedal holds counts more than memory where no held note decides', () => {
  expect(choose([loose(heldAt('9/8')), ended('4/3', 0.1)], [-1])).toBe('27/20');
  expect(choose([loose(heldAt('10/9')), ended('27/20', 0.1)], [-1])).toBe('4/3');
});

test('a chord that can’t be pure has pure fifths, and gives up thirds', () => {
  // C G D A E: with four pure fifths, three thirds and sixths are a comma off.
  const { points } = find(hear([]), [0, 1, 2, 3, 4]).choices[0];
  for (const keyClass of [7, 2, 9, 4]) expect(points[keyClass][2]).toBe(points[0][2]);
});

/** What a way of placing costs, all of it, by the parts of the cost that are told apart from the search. */
function toCost(surroundings: Surroundings, points: readonly PrimeVector[], whole = 0): number {
  let cost = whole;
  points.forEach((point, i) => {
    cost += surroundings.costAt(toClass(toFifths(point)), point);
    for (const other of points.slice(0, i)) cost += toPairPrice(surroundings.chooser, point, other);
  });
  return cost;
}

const struckPlaces = fc.uniqueArray(fc.integer({ min: -4, max: 7 }), {
  minLength: 1,
  maxLength: 4,
  selector: toClass,
});
const fewHeard = (commas: fc.Arbitrary<number>) =>
  fc.array(
    fc.tuple(heardShades, commas).map(([one, its]): Heard => ({ ...one, commas: its })),
    { minLength: 1, maxLength: 4 },
  );
const nearHeard = fewHeard(fc.integer({ min: -1, max: 1 }));

/** A cost of the whole that knows nothing of parts: it wants each key class on a pitch of its own. */
const wanted = fc.array(fc.double({ min: -40, max: 40, noNaN: true }), { minLength: 12, maxLength: 12 });
const toWholeCost = (cents: readonly number[]): WholeCost => ({
  of: ({ size, classes }, deviationCents) => {
    let cost = 0;
    for (let i = 0; i < size; i++) cost += 0.1 * Math.abs(deviationCents[classes[i]] - cents[classes[i]]);
    return cost;
  },
});
const toWhole = (cents: readonly number[], points: readonly PrimeVector[]) =>
  points.reduce(
    (cost, point) => cost + 0.1 * Math.abs(toDeviationCents(point) - cents[toClass(toFifths(point))]),
    0,
  );

describe('where everything can be pure', () => {
  test('a strike is pure, at the cheapest of all pure places', () => {
    let compared = 0;
    forAll([struckPlaces, nearHeard, fc.option(wanted, { nil: undefined })], 200, (places, heard, cents) => {
      const pure = listPureWays(places, heard);
      if (pure.length === 0) return;
      const surroundings = hear(heard);
      const wholeCost = cents === undefined ? undefined : toWholeCost(cents);
      const { choices } = find(surroundings, places, BEST, wholeCost);
      const costOf = (points: readonly PrimeVector[]) =>
        toCost(surroundings, points, cents === undefined ? 0 : toWhole(cents, points));
      const found = places.map((place) => choices[0].points[toClass(place)]);
      for (const one of found)
        for (const other of found)
          if (JUST.has(toFifths(one) - toFifths(other)))
            expect(one[2] - other[2]).toBe(JUST.get(toFifths(one) - toFifths(other))![2]);
      const least = Math.min(
        ...pure.filter((way) => isNear(way, heard)).map((way) => costOf(way.map(pointOf))),
      );
      // A chord that a held note binds may stand far from all that was heard.
      if (least < Infinity) expect(costOf(found)).toBeCloseTo(least, 6);
      compared++;
    });
    expect(compared).toBeGreaterThan(amongAll(80));
  });

  test('a strike has every consonance with a held note just', () => {
    forAll([struckPlaces, nearHeard], (places, heard) => {
      if (listPureWays(places, heard).length === 0) return;
      const { points } = find(hear(heard), places).choices[0];
      for (const place of places) {
        const shade = { fifths: place, commas: points[toClass(place)][2] };
        for (const one of heard) if (one.binding === HELD) expect(isPureWith(shade, one)).toBe(true);
      }
    });
  });
});

test('a strike takes the cheapest of all ways where not everything can be pure', () => {
  let compared = 0;
  const threePlaces = fc.uniqueArray(fc.integer({ min: -4, max: 7 }), {
    minLength: 2,
    maxLength: 3,
    selector: toClass,
  });
  forAll([threePlaces, fewHeard(fc.integer({ min: 0, max: 1 }))], 60, (places, heard) => {
    fc.pre(listPureWays(places, heard).length === 0);
    fc.pre(isSpelledWell(places, heard));
    const surroundings = hear(heard);
    const { choices } = find(surroundings, places, { fan: 2, slack: 0, steps: Infinity });
    const ways = listWays(places, 6).filter((way) =>
      way.every(({ commas }) => heard.some((one) => Math.abs(one.commas - commas) <= 3)),
    );
    const least = Math.min(...ways.map((way) => toCost(surroundings, way.map(pointOf))));
    expect(
      toCost(
        surroundings,
        places.map((place) => choices[0].points[toClass(place)]),
      ),
    ).toBeCloseTo(least, 4);
    expect(choices[0].cost).toBeCloseTo(least, 4);
    compared++;
  });
  expect(compared).toBeGreaterThan(amongAll(20));
});

describe('the choices of a strike', () => {
  const efforts = fc.record({
    fan: fc.integer({ min: 2, max: 6 }),
    slack: fc.constantFrom(0.5, 3, Infinity),
    steps: fc.constant(Infinity),
  });

  test('are the cheapest, as many and as dear as was asked for, and no other costs less than is said', () => {
    forAll([struckPlaces, nearHeard, efforts], 150, (places, heard, effort) => {
      const pure = listPureWays(places, heard).filter((way) => isNear(way, heard));
      fc.pre(pure.length > 0);
      const surroundings = hear(heard);
      const { choices, othersFrom } = find(surroundings, places, effort);
      const costOf = (points: readonly PrimeVector[]) => toCost(surroundings, points);
      const all = pure.map((way) => costOf(way.map(pointOf))).sort((a, b) => a - b);
      const found = choices.map(({ points }) => costOf(places.map((place) => points[toClass(place)])));
      expect(found.length).toBeGreaterThan(0);
      expect(found.length).toBeLessThanOrEqual(effort.fan);
      for (const [i, cost] of found.entries()) expect(cost).toBeCloseTo(all[i], 6);
      for (const [i, { cost }] of choices.entries()) expect(cost).toBeCloseTo(found[i], 6);
      expect(found[found.length - 1]).toBeLessThanOrEqual(found[0] + effort.slack + 1e-9);
      const [next] = all.slice(found.length);
      if (next === undefined) return;
      expect(othersFrom).toBeLessThanOrEqual(next + 1e-6);
      if (found.length < effort.fan) expect(next).toBeGreaterThanOrEqual(found[0] + effort.slack - 1e-6);
    });
  });

  test('are at least one, and a bound of the rest is given, however little may be tried', () => {
    forAll([struckPlaces, nearHeard, fc.integer({ min: 0, max: 5 })], (places, heard, steps) => {
      const surroundings = hear(heard);
      const [little, all] = [steps, Infinity].map((its) =>
        find(surroundings, places, { ...BEST, fan: 2, slack: 9, steps: its }),
      );
      expect(little.choices.length).toBeGreaterThan(0);
      const best = all.choices[0].cost;
      expect(Math.min(little.choices[0].cost, little.othersFrom)).toBeLessThanOrEqual(best + 1e-6);
    });
  });

  test('don’t depend on the order of key classes', () => {
    forAll([struckPlaces, nearHeard], (places, heard) => {
      const [forth, back] = [places, [...places].reverse()].map(
        (list) => find(hear(heard), list).choices[0].points,
      );
      const [a, b] = [forth, back].map((points) =>
        toCost(
          hear(heard),
          places.map((place) => points[toClass(place)]),
        ),
      );
      expect(a).toBeCloseTo(b, 4);
    });
  });

  test('are of every key class, even of all twelve together', () => {
    const { choices } = find(hear([heldAt('1/1')]), [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6], {
      ...BEST,
      steps: 500,
    });
    expect(choices[0].points.map((point) => toClass(toFifths(point)))).toEqual([...Array(12).keys()]);
  });
});

describe('recall', () => {
  const recalling = (recallCents: number) =>
    createChooser({ limit: 5, weights: DEFAULT_WEIGHTS, home: homeOn('just', 'C'), recallCents });

  test('lets a note come back where it was, if it is no more than so many cents off', () => {
    const heard = [heldAt('5/3'), ended('9/8', 0.1)];
    expect(choose(heard, [2], recalling(0))).toBe('10/9');
    expect(choose(heard, [2], recalling(20))).toBe('10/9');
    expect(choose(heard, [2], recalling(22))).toBe('9/8');
  });

  test('leaves nothing farther off than it must be', () => {
    forAll([struckPlaces, nearHeard, fc.constantFrom(5, 22)], (places, list, cents) => {
      const heard = list.filter(({ binding }) => binding !== LOOSE);
      fc.pre(heard.length > 0);
      fc.pre(listPureWays(places, heard).length > 0);
      fc.pre(isSpelledWell(places, heard));
      const { points } = find(hear(heard, recalling(cents)), places).choices[0];
      const held = heard.filter(({ binding }) => binding === HELD).map(pointOf);
      const struck = places.map((place) => points[toClass(place)]);
      for (const one of struck) {
        for (const other of [...held, ...struck]) {
          const just = JUST.get(toFifths(one) - toFifths(other));
          if (just === undefined) continue;
          const off = toDeviationCents(one) - toDeviationCents(other) - toDeviationCents(just);
          expect(Math.abs(off)).toBeLessThanOrEqual(cents + 1e-6);
        }
      }
    });
  });
});
