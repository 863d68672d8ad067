import { expect, test } from 'vitest';
import { findNearest } from '../../../src/core/words/nearest.js';

test.each([
  ['anchord', ['free', 'pull', 'anchored'], 'anchored'],
  ['FREE', ['free', 'pull', 'anchored'], 'free'],
  ['limt', ['limit', 'home', 'tonic'], 'limit'],
  ['strikewindow', ['strike-window', 'strategy'], 'strike-window'],
  ['xyzzy', ['free', 'pull', 'anchored'], undefined],
  ['x'.repeat(100_000), ['free'], undefined],
])('the nearest known word is found for %.20s', (word, choices, nearest) =>
  expect(findNearest(word, choices)).toBe(nearest),
);

test('a nearest word with more than the given part of its letters wrong is none', () => {
  expect(findNearest('synth', ['strings'], 1 / 2)).toBeUndefined();
  expect(findNearest('kayz', ['keys'], 1 / 2)).toBe('keys');
  expect(findNearest('kayz', ['keys'], 1 / 3)).toBeUndefined();
  expect(findNearest('kays', ['keys'], 1 / 3)).toBe('keys');
});

test('two letters in the wrong order are one mistake', () => {
  expect(findNearest('snyth', ['synth'], 1 / 3)).toBe('synth');
  expect(findNearest('sytnh', ['synth'], 1 / 3)).toBe('synth');
  expect(findNearest('styhn', ['synth'], 1 / 3)).toBeUndefined();
});
