import { expect, test } from 'vitest';
import { forStrategies } from '../../../src/core/protocol/index.js';
import { findBar, findChord, toPlaceAt } from '../../../src/page/lecture/place.js';

const SCORE = {
  name: 'a',
  chords: [0, 1000, 2500].map((atMs) => ({ atMs, symbol: 'C', keys: [60] })),
  barsMs: [0, 2000, 4000],
};

test.each([
  [-100, -1],
  [0, 0],
  [995, 1],
  [2000, 1],
  [9999, 2],
])('at %d ms chord %d sounds', (position, chord) => expect(findChord(SCORE, position)).toBe(chord));

test('the bar around a position ends at the next bar line, or with the piece', () => {
  expect(findBar(SCORE, 1999, 5000)).toEqual({ fromMs: 2000, toMs: 4000 });
  expect(findBar(SCORE, 500, 5000)).toEqual({ fromMs: 0, toMs: 2000 });
  expect(findBar(SCORE, 4500, 5000)).toEqual({ fromMs: 4000, toMs: 5000 });
  expect(findBar({ barsMs: [] }, 4500, 5000)).toBeUndefined();
});

test('a moment of the chart is a place in its pass, at any tempo', () => {
  const passes = [1, 2].map((n) => ({ n, atMs: 10_000 * n, left: forStrategies(() => 0) }));
  const playing = { tempo: 2, fromMs: 1000, toMs: 9000 };
  expect(toPlaceAt(21, passes, playing)).toEqual({ pass: 2, value: 3000 });
  expect(toPlaceAt(12.5, passes, playing)).toEqual({ pass: 1, value: 6000 });
  expect(toPlaceAt(99, passes, playing)).toEqual({ pass: 2, value: 9000 });
  expect(toPlaceAt(5, passes, playing)).toBeUndefined();
});
