import { describe, expect, test } from 'vitest';
import {
  COMMAS,
  describeInterval,
  formatRatio,
  INTERVALS,
  intervalName,
  invert,
  multiply,
  parseRatio,
  placeInterval,
  ratio,
  toCents,
  toFifths,
} from '../../../src/core/theory/index.js';
import { forAll } from '../../support/properties.js';
import { vectors } from './help.js';

describe('INTERVALS', () => {
  test('are within the octave, by size, with each ratio and name once, and frozen', () => {
    const cents = INTERVALS.map((interval) => toCents(interval.ratio));
    expect(cents).toEqual([...cents].sort((a, b) => a - b));
    expect(cents[0]).toBeGreaterThan(0);
    expect(cents.at(-1)).toBeLessThan(1200);
    const both = [...INTERVALS, ...COMMAS];
    expect(new Set(both.map((named) => formatRatio(named.ratio))).size).toBe(both.length);
    expect(new Set(both.map((named) => named.name)).size).toBe(both.length);
    expect(
      Object.isFrozen(INTERVALS) && Object.isFrozen(INTERVALS[0]) && Object.isFrozen(INTERVALS[0].ratio),
    ).toBe(true);
  });

  test('names intervals by the letters they span on the line of fifths', () => {
    const letters: [RegExp, number][] = [
      [/second/, 1],
      [/third(?!s)/, 2],
      [/fourth/, 3],
      [/fifth/, 4],
      [/sixth/, 5],
      [/seventh/, 6],
    ];
    const usual = ['13/11', '22/13'];
    let checked = 0;
    for (const { ratio: v, name } of INTERVALS) {
      const rule = letters.find(([word]) => word.test(name));
      if (!rule || usual.includes(formatRatio(v))) continue;
      // A fifth up is four letters up, so a place on the line of fifths is four times as many letters.
      expect([name, (((4 * toFifths(v)) % 7) + 7) % 7]).toEqual([name, rule[1]]);
      checked++;
    }
    expect(checked).toBeGreaterThan(55);
  });

  test('calls one syntonic comma over a just interval acute, one under it grave', () => {
    const named = new Map(INTERVALS.map((interval) => [interval.name, interval.ratio]));
    let checked = 0;
    for (const [name, v] of named) {
      const [, side, rest] = /^(grave|acute) (.*)$/.exec(name) ?? [];
      if (!side) continue;
      const plain = named.get(`just ${rest}`) ?? named.get(rest);
      expect([name, plain && multiply(plain, ratio(side === 'grave' ? '80/81' : '81/80'))]).toEqual([
        name,
        v,
      ]);
      checked++;
    }
    expect(checked).toBe(12);
  });
});

describe('intervalName, describeInterval, placeInterval', () => {
  test.each([
    ['1/1', 'unison', 'a unison with'],
    ['5/4', 'just major third', 'a just major third above'],
    ['4/5', 'just major third', 'a just major third below'],
    ['3/1', 'octave and a just fifth', 'an octave and a just fifth above'],
    ['1/6', 'two octaves and a just fifth', 'two octaves and a just fifth below'],
    ['27/20', 'acute fourth', 'an acute fourth above'],
    ['12/11', 'lesser undecimal neutral second', 'a lesser undecimal neutral second above'],
    ['9/11', 'undecimal neutral third', 'an undecimal neutral third below'],
    ['22/9', 'octave and an undecimal neutral third', 'an octave and an undecimal neutral third above'],
    ['80/81', 'syntonic comma', 'a syntonic comma below'],
    ['160/81', 'octave less a syntonic comma', 'an octave less a syntonic comma above'],
    ['64/33', 'octave less an undecimal comma', 'an octave less an undecimal comma above'],
    ['81/320', 'two octaves less a syntonic comma', 'two octaves less a syntonic comma below'],
    ['2/1', 'octave', 'an octave above'],
    ['1/2', 'octave', 'an octave below'],
    ['4096/1', '12 octaves', '12 octaves above'],
    ['1/1024', 'ten octaves', 'ten octaves below'],
  ])('%s is %s', (text, name, placed) => {
    expect(intervalName(ratio(text))).toBe(name);
    expect(describeInterval(ratio(text))).toBe(name);
    expect(placeInterval(ratio(text))).toBe(placed);
  });

  test('falls back to the ratio that is over 1/1', () => {
    expect(intervalName(ratio('135/121'))).toBeUndefined();
    expect(describeInterval(ratio('121/135'))).toBe('ratio 135/121');
    expect(placeInterval(ratio('135/121'))).toBe('the ratio 135/121 above');
    expect(placeInterval(ratio('121/135'))).toBe('the ratio 135/121 below');
  });

  test('gives both directions the same name and opposite places', () => {
    forAll([vectors(3)], (v) => {
      expect(describeInterval(invert(v))).toBe(describeInterval(v));
      const swapped = placeInterval(v).replace(/above$|below$/, (side) =>
        side === 'above' ? 'below' : 'above',
      );
      expect(placeInterval(invert(v))).toBe(swapped);
      if (toCents(v) !== 0) expect(placeInterval(v).endsWith(toCents(v) > 0 ? 'above' : 'below')).toBe(true);
    });
  });

  test('knows every row of the table an octave up and down', () => {
    for (const { ratio: v, name } of INTERVALS) {
      expect(intervalName(v)).toBe(name);
      expect(intervalName(multiply(v, ratio('2/1')))).toMatch(new RegExp(`^octave and an? ${name}$`));
      expect(parseRatio(formatRatio(v))).toEqual({ ok: true, value: v });
    }
  });
});
