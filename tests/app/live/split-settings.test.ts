import { expect, test } from 'vitest';
import { DEFAULT_INPUT } from '../../../src/app/live/live-settings.js';
import {
  DEFAULT_SPLIT,
  playsSplit,
  roleOf,
  toPlayers,
  toSplitKey,
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

test.each([
  ['a key below the split', 0x90, 47, undefined],
  ['its lowest key', 0x90, 48, 108],
  ['its highest key', 0x80, 72, undefined],
  ['the last key that is moved to one of MIDI', 0x90, 67, 127],
  ['one that would be moved past the end', 0x90, 68, undefined],
  ['pressure of a key', 0xa0, 50, 110],
  ['a controller', 0xb0, 64, undefined],
  ['All Sound Off', 0xb0, 120, 120],
  ['the wheel', 0xe0, 5, undefined],
])('a split of keys 48 to 72, moved up by 60, without controllers: %s', (_, status, data1, key) => {
  const moved = { ...split, lowest: 48, highest: 72, transpose: 60, controllers: false };
  expect(toSplitKey(moved, status, data1, 0)).toBe(key);
});
