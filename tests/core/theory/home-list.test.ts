import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatRatio, parseHomeList, ratio } from '../../../src/core/theory/index.js';
import { forAll } from '../../support/properties.js';

const JUST = '1/1 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8';
const CENTS = '0 76.0 193.2 310.3 386.3c 503.4 579.5 696.6 772.6 889.7 1006.8 1082.9';

function cents(list: string | readonly string[]): number[] {
  const read = parseHomeList(list);
  if (!read.ok) throw new Error(read.problem.message);
  return read.value.map((step) => step.cents);
}

describe('parseHomeList', () => {
  test('reads twelve ratios from the tonic', () => {
    const read = parseHomeList(JUST);
    if (!read.ok) throw new Error(read.problem.message);
    expect(read.value.map((step) => step.ratio && formatRatio(step.ratio)).join(' ')).toBe(JUST);
    expect(read.value.map((step) => Math.round(step.cents))).toEqual([
      0, 112, 204, 316, 386, 498, 590, 702, 814, 884, 1018, 1088,
    ]);
    expect(Object.isFrozen(read.value) && Object.isFrozen(read.value[3])).toBe(true);
  });

  test('reads the same scale from any of its three forms and partings', () => {
    const toOctave = `${JUST.slice(4)} 2/1`;
    expect(parseHomeList(toOctave)).toEqual(parseHomeList(JUST));
    expect(parseHomeList(`${JUST} 2`)).toEqual(parseHomeList(JUST));
    expect(parseHomeList(JUST.split(' '))).toEqual(parseHomeList(JUST));
    expect(parseHomeList(JUST.replaceAll(' ', ',\n'))).toEqual(parseHomeList(JUST));
    expect(parseHomeList(JUST.replaceAll('/', ':'))).toEqual(parseHomeList(JUST));
  });

  test('reads cents, and mixes', () => {
    expect(cents(CENTS)).toEqual([
      0, 76, 193.2, 310.3, 386.3, 503.4, 579.5, 696.6, 772.6, 889.7, 1006.8, 1082.9,
    ]);
    expect(cents(`${CENTS} 1200.0`)).toEqual(cents(CENTS));
    const mixed = parseHomeList(CENTS.replace('386.3c', '5/4'));
    expect(mixed.ok && mixed.value[4].ratio).toEqual(ratio('5/4'));
    expect(mixed.ok && mixed.value[5].ratio).toBeUndefined();
  });

  test('reads any rising list of cents as it is', () => {
    const rising = fc
      .uniqueArray(fc.integer({ min: 1, max: 119_999 }), { minLength: 11, maxLength: 11 })
      .map((steps) => [0, ...steps.sort((a, b) => a - b)].map((step) => step / 100));
    forAll([rising], (steps) => {
      expect(cents(steps.map((step) => `${step}c`))).toEqual(steps);
    });
  });

  test.each([
    ['', 'HOME_LIST_COUNT', 'has 0'],
    ['1/1 2/1', 'HOME_LIST_COUNT', 'has 2'],
    [`${JUST} 31/16 2/1`, 'HOME_LIST_COUNT', 'has 14'],
    [JUST + ' '.repeat(2000), 'HOME_LIST_LONG', 'is too long'],
    ['1/1 '.repeat(500), 'HOME_LIST_COUNT', 'has 500'],
    [JUST.replace('5/4', '5/x'), 'HOME_LIST_STEP', 'step 5, "5/x"'],
    [JUST.replace('5/4', 'x'.repeat(50)), 'HOME_LIST_STEP', `step 5, "${'x'.repeat(40)}…"`],
    [JUST.replace('5/4', '19/15'), 'HOME_LIST_STEP', 'the prime 19'],
    [JUST.replace('1/1', '-5.0'), 'HOME_LIST_STEP', 'step 1, "-5.0"'],
    ['0 100 200 300 400 500 600 700 800 900 1000 1100', 'HOME_LIST_STEP', 'step 2, 100, is a whole number'],
    [JUST.slice(4).concat(' 31.0'), 'HOME_LIST_ENDS', '16/15 to 31.0'],
    [`${JUST} 1199.0`, 'HOME_LIST_ENDS', '1/1 to 1199.0'],
    [`${JUST.replace('15/8', '2/1')}`, 'HOME_LIST_ENDS', '1/1 to 2/1'],
    [JUST.replace('5/4', '7/6'), 'HOME_LIST_ORDER', '7/6 is not higher than 6/5'],
    [JUST.replace('5/4', '6/5'), 'HOME_LIST_ORDER', '6/5 is not higher than 6/5'],
    [JUST.replace('15/8', '1300.0'), 'HOME_LIST_ORDER', '1300.0 is wider than an octave'],
  ])('refuses a wrong list, row %#', (text, code, words) => {
    const read = parseHomeList(text);
    if (read.ok) throw new Error('was read');
    expect(read.problem.code).toBe(code);
    expect(read.problem.message).toContain(words);
    expect(read.problem.advice).not.toBe('');
  });
});
