import { expect, test } from 'vitest';
import { formatComma, power, ratio, toDeviationCents } from '../../../src/core/theory/index.js';
import {
  formatAway,
  formatDrift,
  formatDriftLeft,
  formatMove,
  formatStrategy,
} from '../../../src/core/words/index.js';

test.each([
  ['80/81', 'one syntonic comma lower', '80/81, −1 syntonic comma, −21.5 c'],
  ['6561/6400', '2 syntonic commas higher', '(81/80)², +2 syntonic commas, +43.0 c'],
  ['64/63', 'one septimal comma higher', '64/63, +1 septimal comma, +27.3 c'],
  [
    '5120/5103',
    'one syntonic comma lower and one septimal comma higher',
    '5120/5103, −1 syntonic comma, +1 septimal comma, +5.8 c',
  ],
  ['16/15', 'by the ratio 16/15', '16/15, ratio 16/15, +11.7 c'],
  ['1/1', 'at the same place', 'none'],
])('a drift is written in words: %s', (text, move, drift) => {
  expect(formatMove(formatComma(ratio(text)))).toBe(move);
  expect(formatDrift(ratio(text))).toBe(drift);
});

test.each([
  ['80/81', 'a comma low'],
  ['6561/6400', 'two commas high'],
  ['125/128', 'a diesis low'],
  ['16384/15625', 'two dieses high'],
  ['648/625', 'a greater diesis high'],
  ['45/44', 'an undecimal fifth-tone high'],
  ['(80/81)^11', '11 commas low'],
  ['5120/5103', 'a comma low and a septimal comma high'],
  ['16/15', 'off by the ratio 16/15'],
  ['1/1', 'at the same place'],
])('a place that was left is written as players say it: %s', (text, away) => {
  const [, base, power_ = '1'] = /^\(?([\d/]+)\)?(?:\^(\d+))?$/.exec(text) ?? [];
  expect(formatAway(formatComma(power(ratio(base), Number(power_))))).toBe(away);
});

test.each([
  ['80/81', 0, '80/81, −1 syntonic comma, −21.5 c'],
  ['80/81', 13.5, '80/81, −1 syntonic comma, −21.5 c; 13.5 c given back, −8.0 c left'],
  ['81/80', -13.5, '81/80, +1 syntonic comma, +21.5 c; 13.5 c given back, +8.0 c left'],
  ['81/80', 2, '81/80, +1 syntonic comma, +21.5 c; +2.0 c by the offset, +23.5 c left'],
  ['1/1', 5.9, '+5.9 c by the offset alone'],
  ['1/1', 0.04, 'none'],
])('a drift by %s with %f c by the offset is written with what is left', (text, backCents, words) => {
  const commas = ratio(text);
  const leftCents = toDeviationCents(commas) + backCents;
  expect(formatDriftLeft({ commas, backCents, leftCents })).toBe(words);
});

test.each([
  ['free', 'free: the pitch may drift'],
  ['pull', 'pulled at 3 c a second to within 8 c of home'],
  ['anchored', 'anchored within 8 c of home'],
  ['temper', 'tempered near home'],
] as const)('the strategy %s is written as: %s', (strategy, text) => {
  expect(formatStrategy({ strategy, leewayCents: 8, rateCentsPerSecond: 3 })).toBe(text);
});
