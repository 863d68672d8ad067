import { expect, test } from 'vitest';
import { multiply, type PrimeVector, power, ratio } from '../../../src/core/theory/index.js';
import { describeNote, formatRatioOrCommas } from '../../../src/core/words/index.js';

const C = { fifths: 0 };
const fallen = (from: string, comma: string, times: number): PrimeVector =>
  multiply(ratio(from), power(ratio(comma), times));

test.each<[string, PrimeVector]>([
  ['5/4', ratio('5/4')],
  ['6400/6561', fallen('1/1', '80/81', 2)],
  ['1/1, three commas low', fallen('1/1', '80/81', 3)],
  ['1/1, 19 commas low', fallen('1/1', '80/81', 19)],
  ['5/4, three commas low', fallen('5/4', '80/81', 3)],
  ['5/2, four commas high', fallen('5/2', '81/80', 4)],
  ['9/10, four commas low', fallen('9/10', '80/81', 4)],
  ['3/2, two dieses low', fallen('3/2', '125/128', 2)],
  ['1/131072', ratio('1/131072')],
  ['1/1, three septimal commas high', fallen('1/1', '64/63', 3)],
])('a ratio that is too long to read is written as commas from a just one: %s', (text, v) => {
  expect(formatRatioOrCommas(v)).toBe(text);
});

test.each<[string, PrimeVector]>([
  ['C', ratio('1/1')],
  ['E', ratio('5/4')],
  ['E', ratio('5/1')],
  ['D, a comma low', ratio('10/9')],
  ['E, a comma high', ratio('81/64')],
  ['C, two dieses low', fallen('1/1', '125/128', 2)],
  ['B♭, a septimal quarter tone low', ratio('7/4')],
])('a note is described by its letter and its distance from its just place: %s', (text, v) => {
  expect(describeNote(v, C)).toBe(text);
});

test('a note is described by the letter that it has on its tonic', () => {
  expect(describeNote(fallen('5/4', '80/81', 2), { fifths: 2 })).toBe('F♯, two commas low');
});
