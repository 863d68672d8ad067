import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ratio, sameClass, toDeviationCents, UNISON } from '../../../src/core/theory/index.js';
import { HELD, LOOSE } from '../../../src/core/tuner/index.js';
import { Surroundings, toPairPrice, UNSPELLED } from '../../../src/core/tuner/surroundings.js';
import { forAll } from '../../support/properties.js';
import {
  type Heard,
  hear,
  heardShades,
  heldAt,
  justChooser,
  pointOf,
  toClass,
} from '../../support/surroundings.js';

const heardLists = fc.array(heardShades, { maxLength: 8 });
const shades = fc.record({
  fifths: fc.integer({ min: -8, max: 10 }),
  commas: fc.integer({ min: -3, max: 3 }),
});

/** What a shade costs beside what is heard. */
const costBeside = (heard: readonly Heard[], shade: { fifths: number; commas: number }) =>
  hear(heard).costAt(toClass(shade.fifths), pointOf(shade));

describe('heard notes', () => {
  test('are known by key class, and forgotten at a new start', () => {
    const surroundings = new Surroundings(justChooser);
    expect(surroundings.isEmpty).toBe(true);
    surroundings.begin();
    surroundings.hear(ratio('10/9'), 2, 0, HELD);
    expect(surroundings.isEmpty).toBe(false);
    expect([1, 2, 3].map((keyClass) => surroundings.includes(keyClass))).toEqual([false, true, false]);
    expect(surroundings.lastFifths[2]).toBe(2);
    surroundings.begin();
    expect(surroundings.isEmpty).toBe(true);
    expect(surroundings.includes(2)).toBe(false);
    expect(surroundings.lastFifths[2]).toBe(UNSPELLED);
    expect(surroundings.costAt(9, ratio('5/3'))).toBe(hear([]).costAt(9, ratio('5/3')));
  });

  test('count once for each point, however many notes are on it, as the first of them does', () => {
    const surroundings = hear([heldAt('5/4')]);
    const once = surroundings.costAt(11, ratio('15/8'));
    for (const [seconds, binding] of [
      [0, HELD],
      [3, LOOSE],
      [1, 0],
    ])
      surroundings.hear(ratio('5/2'), 4, seconds, binding);
    expect(surroundings.size).toBe(1);
    expect(surroundings.costAt(11, ratio('15/8'))).toBe(once);
  });

  test('are a few points of each key class, however many sound', () => {
    const surroundings = new Surroundings(justChooser);
    surroundings.begin();
    for (let commas = 0; commas < 500; commas++)
      for (let fifths = -5; fifths < 7; fifths++)
        surroundings.hear(pointOf({ fifths, commas }), toClass(fifths), 0, HELD);
    expect(surroundings.size).toBeLessThanOrEqual(12 * 2);
    // Those told first are kept.
    for (let fifths = -5; fifths < 7; fifths++)
      expect(
        surroundings.points.slice(0, 12).some((point) => sameClass(point, pointOf({ fifths, commas: 0 }))),
      ).toBe(true);
  });

  test('give the last spelling of a key class by the one that counts most', () => {
    const surroundings = new Surroundings(justChooser);
    surroundings.begin();
    surroundings.hear(pointOf({ fifths: 8, commas: 1 }), 8, 0, HELD);
    surroundings.hear(pointOf({ fifths: -4, commas: 0 }), 8, 1, LOOSE);
    expect(surroundings.lastFifths[8]).toBe(8);
  });
});

describe('home, where nothing was ever heard', () => {
  const seeds = Array.from({ length: 12 }, (_, keyClass) => justChooser.home.points[keyClass]);

  test('is where a note is by itself', () => {
    for (let keyClass = 0; keyClass < 12; keyClass++) {
      const surroundings = new Surroundings(justChooser);
      surroundings.addHome([keyClass], seeds);
      const [home] = surroundings.points;
      for (const comma of ['81/80', '80/81']) {
        const [, three, five] = ratio(comma);
        const off = [0, home[1] + three, home[2] + five, 0, 0, 0] as const;
        expect(surroundings.costAt(keyClass, home)).toBeLessThan(surroundings.costAt(keyClass, off));
      }
    }
  });

  test('is no memory: it doesn’t say how a key class was spelled, and harmony outweighs it', () => {
    const surroundings = new Surroundings(justChooser);
    surroundings.addHome([2, 4], seeds);
    expect(surroundings.isSilent).toBe(true);
    expect([...surroundings.lastFifths]).toEqual(new Array(12).fill(UNSPELLED));
    const remembered = hear([{ fifths: 2, commas: 0, ageSeconds: 0, binding: 0 }]);
    const byHome = surroundings.costAt(2, ratio('10/9')) - surroundings.costAt(2, ratio('9/8'));
    const byMemory = remembered.costAt(2, ratio('10/9')) - remembered.costAt(2, ratio('9/8'));
    expect(byHome).toBeLessThan(byMemory / 10);
    surroundings.begin();
    expect(surroundings.isSilent).toBe(false);
  });
});

describe('the cost of a place', () => {
  test('adds up over all that is heard, two points of each key class', () => {
    forAll([heardLists, shades], (heard, shade) => {
      const points = heard.filter(
        (one, i) =>
          !heard.slice(0, i).some((other) => other.fifths === one.fifths && other.commas === one.commas),
      );
      const isSame = (a: number, b: number) => (a - b) % 12 === 0;
      const told = points.toSorted((a, b) => b.binding - a.binding);
      const distinct = told.filter(
        (one, i) => told.slice(0, i).filter(({ fifths }) => isSame(fifths, one.fifths)).length < 2,
      );
      const empty = costBeside([], shade);
      const sum = distinct.reduce((cost, one) => cost + costBeside([one], shade) - empty, empty);
      expect(costBeside(points, shade)).toBeCloseTo(sum, 3);
    });
  });

  test('isn’t negative, and is finite', () => {
    forAll([heardLists, shades], (heard, shade) => {
      const cost = costBeside(heard, shade);
      expect(cost).toBeGreaterThanOrEqual(0);
      expect(cost).toBeLessThan(Infinity);
    });
  });

  test('does not depend on where the whole music is', () => {
    forAll([heardLists, shades, fc.integer({ min: -9, max: 9 })], (heard, { fifths, commas }, by) => {
      const moved = heard.map((one) => ({ ...one, commas: one.commas + by }));
      const cost = costBeside(moved, { fifths, commas: commas + by });
      expect(cost).toBeCloseTo(costBeside(heard, { fifths, commas }), 2);
    });
  });

  test('of an impure consonance with a held note outweighs all that memory and home ask for', () => {
    forAll([heardLists], (list) => {
      const heard = list.filter(({ binding }) => binding === 0);
      const surroundings = hear([...heard, heldAt('3/2')]);
      surroundings.homeLean = justChooser.weights.homeLean;
      surroundings.offsetCents = 200;
      const [pure, impure] = ['9/8', '10/9'].map((text) => surroundings.costAt(2, ratio(text)));
      expect(pure).toBeLessThan(impure);
    });
  });

  test('of an impure consonance with a note that only a pedal holds counts, but little beside a held one', () => {
    const loose: Heard = { ...heldAt('3/2'), binding: LOOSE };
    const empty = hear([]);
    const priceOf = (heard: Heard, text: string) =>
      hear([heard]).costAt(2, ratio(text)) - empty.costAt(2, ratio(text));
    expect(priceOf(loose, '10/9') - priceOf(loose, '9/8')).toBeGreaterThan(10);
    expect(100 * priceOf(loose, '10/9')).toBeLessThan(priceOf(heldAt('3/2'), '10/9'));
  });

  test('fades for silent notes', () => {
    const ended = (ageSeconds: number): Heard => ({ fifths: 0, commas: 0, ageSeconds, binding: 0 });
    const costs = [0, 1, 3, 10, 60].map((seconds) => costBeside([ended(seconds)], { fifths: 0, commas: 1 }));
    expect([...costs].sort((a, b) => b - a)).toEqual(costs);
    expect(costs[4]).toBeCloseTo(costBeside([], { fifths: 0, commas: 1 }), 3);
    expect(costs[0]).toBeGreaterThan(costs[4] + 1);
  });

  test('has no price for a silent key class that comes back elsewhere where the whole choice has it', () => {
    const ended: Heard = { fifths: 0, commas: 0, ageSeconds: 0, binding: 0 };
    const surroundings = hear([ended]);
    surroundings.isAnchored = true;
    const back = (commas: number) => surroundings.costAt(0, pointOf({ fifths: 0, commas }));
    expect(back(1)).toBeCloseTo(back(0), 3);
    expect(costBeside([ended], { fifths: 0, commas: 1 })).toBeGreaterThan(1);
  });

  test('leans toward home by so much a cent, wherever the common offset is', () => {
    forAll([shades, fc.double({ min: -300, max: 300, noNaN: true })], (shade, offsetCents) => {
      const surroundings = hear([]);
      surroundings.homeLean = 0.5;
      surroundings.offsetCents = offsetCents;
      const keyClass = toClass(shade.fifths);
      const away = toDeviationCents(pointOf(shade)) + offsetCents - justChooser.home.deviationCents[keyClass];
      expect(surroundings.costAt(keyClass, pointOf(shade))).toBeCloseTo(0.5 * Math.abs(away), 3);
    });
  });

  test('is lower with fewer steps of primes above 5', () => {
    const surroundings = new Surroundings(justChooser);
    surroundings.begin();
    surroundings.hear(UNISON, 0, 1e9, 0);
    const costs = ['1/1', '63/64', '3969/4096'].map((text) => surroundings.costAt(0, ratio(text)));
    expect(costs[1]).toBeGreaterThan(costs[0] + 1);
    expect(costs[2]).toBeGreaterThan(costs[1] + 1);
  });
});

const price = (text: string) => toPairPrice(justChooser, ratio(text), UNISON);

test('the cost of a pair is zero for just consonances and high for impure ones, more for fifths than for thirds', () => {
  for (const text of ['1/1', '3/2', '4/3', '5/4', '6/5', '5/3', '8/5']) expect(price(text)).toBe(0);
  expect(price('81/64')).toBeGreaterThan(1000);
  expect(price('40/27')).toBeGreaterThan(24 * price('81/64'));
});

test('the cost of a pair has a part for the shade of seconds and tritones', () => {
  expect(price('9/8')).toBeLessThan(price('729/640'));
  expect(price('729/640')).toBeLessThan(1000);
});

test('the cost of a pair is the same for either of the two, wherever they are', () => {
  const shade = fc.record({
    fifths: fc.integer({ min: -8, max: 8 }),
    commas: fc.integer({ min: -3, max: 3 }),
  });
  forAll([shade, shade, fc.integer({ min: -5, max: 5 })], (a, b, by) => {
    const [one, other] = [a, b].map(pointOf);
    expect(toPairPrice(justChooser, other, one)).toBeCloseTo(toPairPrice(justChooser, one, other), 6);
    const [far, away] = [a, b].map(({ fifths, commas }) => pointOf({ fifths, commas: commas + by }));
    expect(toPairPrice(justChooser, far, away)).toBeCloseTo(toPairPrice(justChooser, one, other), 6);
  });
});
