import { expect, test } from 'vitest';
import { formatComma, ratio } from '../../../src/core/theory/index.js';
import { formatDrift, formatMove, formatStrategy } from '../../../src/core/words/index.js';

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
  ['free', 'free: the pitch may drift'],
  ['pull', 'pulled at 3 c a second to within 8 c of home'],
  ['anchored', 'anchored within 8 c of home'],
  ['temper', 'tempered near home'],
] as const)('the strategy %s is written as: %s', (strategy, text) => {
  expect(formatStrategy({ strategy, leewayCents: 8, rateCentsPerSecond: 3 })).toBe(text);
});
