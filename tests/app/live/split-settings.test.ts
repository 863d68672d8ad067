import { expect, test } from 'vitest';
import { DEFAULT_INPUT } from '../../../src/app/live/live-settings.js';
import {
  DEFAULT_SPLIT,
  playsSplit,
  roleOf,
  toPlayers,
  toSplits,
} from '../../../src/app/live/split-settings.js';

const input = { ...DEFAULT_INPUT, port: 'Keys' };
const split = { ...DEFAULT_SPLIT, input: 'Keys' };

test('an input without splits is one split with its role, and one for the channels that do not have it', () => {
  const splits = toSplits([], { ...input, role: 'fixed', channels: [0, 1] });
  expect(splits.map(({ role, channels }) => [role, channels])).toEqual([
    ['fixed', [0, 1]],
    ['untuned', [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15]],
  ]);
});

test('an input with splits has those, and one for the channels that are in none', () => {
  const others = [{ ...split, input: 'Pads' }];
  const splits = toSplits([split, { ...split, role: 'untuned', channels: [9] }, ...others], input);
  expect(splits.map(({ role, channels }) => [role, channels])).toEqual([
    ['tuned', undefined],
    ['untuned', [9]],
  ]);
});

test.each([
  [undefined, 0, 'tuned'],
  [undefined, 9, undefined],
  [[9], 9, 'tuned'],
  [[9], 0, undefined],
])('of the channels %j, channel index %i has the role %s', (channels, channel, role) => {
  expect(roleOf({ ...split, channels }, channel)).toBe(role);
});

test('an outlet plays a split by its own name, by its input, or because it plays all', () => {
  const named = { ...split, name: 'Left' };
  const plays = [undefined, ['Keys'], ['Left'], ['Right']].map((from) => playsSplit({ from }, named));
  expect(plays).toEqual([true, true, true, false]);
});

test('the players of an outlet are the tuned splits it plays that have a channel', () => {
  const splits = [
    { ...split, name: 'Left' },
    { ...split, name: 'Right' },
    { ...split, name: 'Organ', role: 'fixed' as const },
    { ...split, name: 'None', channels: [] },
  ];
  const players = toPlayers([input], splits, { from: ['Left', 'Organ', 'None'] });
  expect(players.map(({ name }) => name)).toEqual(['Left']);
});
