import { expect, test } from 'vitest';
import {
  count,
  formatCents,
  formatChannels,
  formatClock,
  formatFromHome,
  formatFromStart,
  formatNumbers,
  formatSeconds,
  formatSigned,
  formatSize,
} from '../../../src/core/words/index.js';

test.each([
  [-21.506, '−21.5 c'],
  [1.955, '+2.0 c'],
  [0, '0.0 c'],
  [0.04, '0.0 c'],
  [-0.04, '0.0 c'],
  [-0.05, '−0.1 c'],
  [1200, '+1200.0 c'],
])('formatCents writes %f', (cents, text) => {
  expect(formatCents(cents)).toBe(text);
  expect(`${formatSigned(cents)} c`).toBe(text);
});

test('formatFromStart writes a drift as a place', () => {
  expect([-43.01, 5.9, 0.04].map(formatFromStart)).toEqual([
    '43.0 c lower than it began',
    '5.9 c higher than it began',
    'where it began',
  ]);
});

test('formatSize writes no sign', () => {
  expect([-21.506, 0, -42.98, 9.94].map(formatSize)).toEqual(['21.5 c', '0.0 c', '43.0 c', '9.9 c']);
});

test.each([
  [0, 3, '0.000 s'],
  [2.5, 3, '2.500 s'],
  [59.94, 1, '59.9 s'],
  [59.96, 1, '1 min 0.0 s'],
  [75.25, 1, '1 min 15.3 s'],
  [3600, 1, '60 min 0.0 s'],
  [35_999, 1, '599 min 59.0 s'],
  [533_330, 1, '148 h 8 min'],
])('formatSeconds writes %f to %i digits', (seconds, digits, text) => {
  expect(formatSeconds(seconds, digits)).toBe(text);
});

test.each([
  [-7.26, '7.3 c below home'],
  [8, '8.0 c above home'],
  [0.04, 'at home'],
])('formatFromHome writes %f', (cents, text) => expect(formatFromHome(cents)).toBe(text));

test('a count is written with its word', () => {
  expect([0, 1, 2].map((number) => count(number, 'note'))).toEqual(['0 notes', '1 note', '2 notes']);
  expect([1, 2, 13].map((n) => count(n, 'pass', 'passes'))).toEqual(['1 pass', '2 passes', '13 passes']);
});

test('a clock shows minutes and seconds, to a tenth or as whole seconds that have passed', () => {
  const times = [0, 75_250, 59_960];
  expect(times.map((ms) => formatClock(ms, 1))).toEqual(['0:00.0', '1:15.3', '1:00.0']);
  expect(times.map((ms) => formatClock(ms, 0))).toEqual(['0:00', '1:15', '0:59']);
});

test.each([
  [[1], '1'],
  [[1, 2], '1–2'],
  [[1, 4, 5, 6, 9], '1, 4–6, 9'],
])('numbers %j are written %s', (numbers, words) => expect(formatNumbers(numbers)).toBe(words));

test.each([
  [[3], 'channel 4'],
  [[0, 1], 'channels 1, 2'],
  [[0, 1, 2, 8], 'channels 1 to 3, 9'],
  [[15, 3, 2, 1, 0], 'channels 1 to 4, 16'],
])('a count is written in words: %j', (channels, words) => expect(formatChannels(channels)).toBe(words));
