import { expect, test } from 'vitest';
import { findNearest } from '../../../src/cli/settings/nearest.js';

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
