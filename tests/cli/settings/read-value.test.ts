import { describe, expect, test } from 'vitest';
import { formatList, formatValue } from '../../../src/cli/settings/format.js';
import { readValue } from '../../../src/cli/settings/read-value.js';
import type { Outcome } from '../../../src/core/outcome.js';
import { OUTLET, TUNER } from '../../../src/core/settings/index.js';

/** A value, or the code of what is wrong with it. */
const brief = (outcome: Outcome<unknown>): unknown => (outcome.ok ? outcome.value : outcome.problem.code);

describe('numbers in settings', () => {
  test.each([
    ['0', 0],
    ['600', 600],
    ['4.5', 4.5],
    ['.5', 0.5],
    ['600.1', 'VALUE_RANGE'],
    ['-1', 'VALUE_RANGE'],
    ['8 c', 'VALUE_NOT_NUMBER'],
    ['', 'VALUE_NOT_NUMBER'],
    ['1e2', 'VALUE_NOT_NUMBER'],
    ['0x10', 'VALUE_NOT_NUMBER'],
    ['Infinity', 'VALUE_NOT_NUMBER'],
    ['none', 'VALUE_NOT_NUMBER'],
  ])('the leeway %s is read', (text, value) =>
    expect(brief(readValue(TUNER.leeway, text, 'option'))).toBe(value),
  );

  test.each([
    ['1', 1],
    ['96', 96],
    ['0', 'VALUE_RANGE'],
    ['97', 'VALUE_RANGE'],
    ['2.5', 'VALUE_RANGE'],
  ])('the bend range %s is read', (text, value) => {
    expect(brief(readValue(OUTLET['bend-range'], text, 'option'))).toBe(value);
  });

  test('are written without quotes in a settings file', () => {
    const read = (input: unknown) => readValue(TUNER.rate, input, 'file');
    expect([3, '3', true, 0, Number.NaN].map((input) => brief(read(input)))).toEqual([
      3,
      'VALUE_NOT_NUMBER',
      'VALUE_NOT_NUMBER',
      'VALUE_RANGE',
      'VALUE_NOT_NUMBER',
    ]);
  });
});

test('words in settings are read, and a mistyped one is refused with the nearest', () => {
  const words = { free: '', pull: '', anchored: '' };
  const read = (input: unknown) => readValue({ kind: 'word', words }, input, 'option');
  expect(brief(read('pull'))).toBe('pull');
  expect(read('anchord')).toEqual({
    ok: false,
    problem: {
      code: 'VALUE_UNKNOWN',
      message: 'expected free, pull or anchored, found "anchord"',
      advice: 'Did you mean anchored?',
    },
  });
  const far = read('zigzag');
  expect(far.ok ? '' : far.problem.advice).not.toContain('mean');
});

test('limits are read as text and as numbers', () => {
  expect(['3', 13, '7', 4, '9', null].map((input) => brief(readValue(TUNER.limit, input, 'file')))).toEqual([
    3,
    13,
    7,
    'VALUE_UNKNOWN',
    'VALUE_UNKNOWN',
    'VALUE_UNKNOWN',
  ]);
});

test('the tonic and the pitch of A are read', () => {
  expect(brief(readValue(TUNER.tonic, 'Bb', 'file'))).toEqual({ keyClass: 10, fifths: -2 });
  expect(brief(readValue(TUNER.tonic, 3, 'file'))).toBe('TONIC_NAME');
  expect([415, '442 Hz', 880.1, [440]].map((input) => brief(readValue(TUNER.a4, input, 'file')))).toEqual([
    415,
    442,
    'A4_RANGE',
    'A4_TEXT',
  ]);
});

describe('home in settings', () => {
  const EQUAL = Array.from({ length: 12 }, (_, i) => 100 * i);

  test('is read by name', () => {
    expect(brief(readValue(TUNER.home, 'meantone', 'file'))).toEqual({ kind: 'meantone' });
    const slip = readValue(TUNER.home, 'meantne', 'file');
    expect(slip.ok ? '' : slip.problem.advice).toBe('Did you mean meantone?');
  });

  test('is read as a list, in which numbers are cents and text is ratios', () => {
    const list = readValue(TUNER.home, [...EQUAL.slice(0, 7), '3/2', ...EQUAL.slice(8)], 'file');
    if (!list.ok || list.value.kind !== 'list') throw new Error('no list');
    expect(list.value.list.map(({ cents }) => Math.round(cents * 1000) / 1000)).toEqual([
      ...EQUAL.slice(0, 7),
      701.955,
      ...EQUAL.slice(8),
    ]);
  });

  test('is read as one text', () => {
    const text = '1/1, 16/15, 9/8, 6/5, 5/4, 4/3, 45/32, 3/2, 8/5, 5/3, 9/5, 15/8';
    const list = readValue(TUNER.home, text, 'file');
    if (!list.ok || list.value.kind !== 'list') throw new Error('no list');
    expect(list.value.list).toHaveLength(12);
  });

  test.each([
    ['two steps', '1/1 2/1', 'HOME_LIST_COUNT'],
    ['a step that is no number', [0, true], 'HOME_LIST_STEP'],
    ['a step below the tonic', [0, -1], 'HOME_LIST_STEP'],
    ['another type', 12, 'VALUE_UNKNOWN'],
    ['a word far from any', 'thirds', 'VALUE_UNKNOWN'],
  ])('is refused where it is %s', (_, input, code) =>
    expect(brief(readValue(TUNER.home, input, 'file'))).toBe(code),
  );
});

test('values are shown as they were written, and cut where they are long', () => {
  expect([formatValue('a'), formatValue(3), formatValue([1n, 'b']), formatValue(undefined)]).toEqual(
    '"a" 3 ["1","b"] undefined'.split(' '),
  );
  expect(formatValue('x'.repeat(200))).toHaveLength(61);
});

test('lists are written as people say them', () => {
  expect([formatList(['a']), formatList(['a', 'b']), formatList([3, 5, 7])]).toEqual([
    'a',
    'a or b',
    '3, 5 or 7',
  ]);
});
