import { describe, expect, test } from 'vitest';
import {
  KNOB_ENDS,
  type KnobRule,
  type KnobSetting,
  Knobs,
  toKnobBounds,
  toKnobValue,
} from '../../../src/app/live/knobs.js';
import { KNOB, toWords } from '../../../src/core/settings/index.js';

const SETTINGS = toWords(KNOB.sets);

function rule(changes: Partial<KnobRule> = {}): KnobRule {
  return {
    controller: 1,
    channel: undefined,
    input: undefined,
    sets: 'leeway',
    least: 0,
    most: 127,
    ...changes,
  };
}

function taken(knobs: Knobs): [KnobSetting, number][] {
  const all: [KnobSetting, number][] = [];
  knobs.take((...one) => all.push(one));
  return all;
}

describe('the value of a knob', () => {
  test.each<[KnobSetting, number, number, number, number]>([
    ['leeway', 0, 25, 0, 0],
    ['leeway', 0, 25, 64, 12.6],
    ['leeway', 0, 25, 127, 25],
    ['leeway', 25, 0, 0, 25],
    ['leeway', 25, 0, 127, 0],
    ['recall', 0, 50, 32, 12.6],
    // By equal factors: 0.5 to 50 is 100 times, so that the middle is ten times as much as the lower end.
    ['rate', 0.5, 50, 0, 0.5],
    ['rate', 0.5, 50, 63.5, 5],
    ['rate', 0.5, 50, 127, 50],
    ['rate', 50, 0.5, 127, 0.5],
    // The notch in the middle is exact.
    ['a4', 430, 450, 0, 430],
    ['a4', 430, 450, 32, 435],
    ['a4', 430, 450, 64, 440],
    ['a4', 430, 450, 127, 450],
    ['a4', 450, 430, 64, 440],
    ['a4', 450, 430, 127, 430],
  ])('of %s from %d to %d at %d is %d', (sets, least, most, position, value) => {
    expect(toKnobValue({ sets, least, most }, position)).toBe(value);
  });

  test.each(SETTINGS)(
    'for %s goes one way, and its default ends are within the bounds of the setting',
    (sets) => {
      const [least, most] = KNOB_ENDS[sets];
      const bounds = toKnobBounds(sets);
      expect(least).toBeGreaterThanOrEqual(bounds.least);
      expect(most).toBeLessThanOrEqual(bounds.most);
      const values = Array.from({ length: 128 }, (_, position) =>
        toKnobValue({ sets, least, most }, position),
      );
      for (let i = 1; i < 128; i++) expect(values[i]).toBeGreaterThan(values[i - 1]);
    },
  );
});

describe('a message of a knob', () => {
  test('is taken once, as the newest value', () => {
    const knobs = new Knobs([rule()]);
    expect(knobs.isTurned).toBe(false);
    expect([10, 20, 30].map((value) => knobs.turn('Keys', 0xb0, 1, value))).toEqual([true, true, true]);
    expect(knobs.isTurned).toBe(true);
    expect(taken(knobs)).toEqual([['leeway', 30]]);
    expect(taken(knobs)).toEqual([]);
    expect(knobs.isTurned).toBe(false);
  });

  test.each<[Partial<KnobRule>, string, number, number, boolean]>([
    [{}, 'Keys', 0xb0, 1, true],
    [{}, 'Keys', 0xbf, 1, true],
    [{}, 'Keys', 0xb0, 2, false],
    [{}, 'Keys', 0x90, 1, false],
    [{ channel: 3 }, 'Keys', 0xb3, 1, true],
    [{ channel: 3 }, 'Keys', 0xb4, 1, false],
    [{ input: 'Pedals' }, 'Pedals', 0xb0, 1, true],
    [{ input: 'Pedals' }, 'Keys', 0xb0, 1, false],
  ])('of %j by %s, status %d and controller %d: %s', (changes, input, status, data1, isTaken) => {
    const knobs = new Knobs([rule(changes)]);
    expect(knobs.turn(input, status, data1, 5)).toBe(isTaken);
    expect(taken(knobs)).toHaveLength(isTaken ? 1 : 0);
  });

  test('of several knobs for one setting counts from the last one turned, and each setting has its own', () => {
    const knobs = new Knobs([
      rule(),
      rule({ controller: 3, least: 0, most: 254 }),
      rule({ controller: 4, sets: 'recall' }),
    ]);
    for (const [controller, value] of [
      [3, 100],
      [1, 10],
      [4, 7],
      [3, 50],
    ])
      knobs.turn('Keys', 0xb0, controller, value);
    expect(taken(knobs)).toEqual([
      ['leeway', 100],
      ['recall', 7],
    ]);
  });

  test('is dropped with the knobs of settings before', () => {
    const knobs = new Knobs([rule()]);
    knobs.turn('Keys', 0xb0, 1, 10);
    knobs.want([rule({ controller: 9 })]);
    expect(taken(knobs)).toEqual([]);
    expect([1, 9].map((controller) => knobs.turn('Keys', 0xb0, controller, 1))).toEqual([false, true]);
  });
});
