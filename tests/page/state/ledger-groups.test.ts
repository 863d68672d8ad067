import { describe, expect, test } from 'vitest';
import { groupEntries, toSpeaker } from '../../../src/page/state/ledger-groups.js';
import { returnOf } from '../frames.js';

describe('groupEntries', () => {
  test('puts the newest first, by pass, with equal words of several strategies as one sentence', () => {
    const entries = [
      returnOf({ n: 1, atMs: 100, pass: 1 }),
      returnOf({ n: 1, atMs: 100, pass: 1, strategy: 'pull' }),
      returnOf({ n: 2, atMs: 900, pass: 2, name: 'G3⁻¹' }),
    ];
    const groups = groupEntries(entries, 10);
    expect(groups.map((group) => [group.pass, group.lines.length])).toEqual([
      [2, 1],
      [1, 1],
    ]);
    expect(groups[1].lines[0].strategies.toSorted()).toEqual(['free', 'pull']);
  });

  test('leaves entries separate that differ in words or in time', () => {
    const entries = [
      returnOf({ n: 1, atMs: 100 }),
      returnOf({ n: 1, atMs: 101, strategy: 'pull' }),
      returnOf({ n: 1, atMs: 100, strategy: 'anchored', now: '9/8' }),
    ];
    expect(groupEntries(entries, 10)[0].lines).toHaveLength(3);
  });

  test('gives no more lines than asked for', () => {
    const entries = Array.from({ length: 50 }, (_, i) => returnOf({ n: i + 1, atMs: i }));
    const lines = groupEntries(entries, 7).flatMap((group) => group.lines);
    expect(lines).toHaveLength(7);
    expect(lines[0].atMs).toBe(49);
  });
});

test('a group of ledger entries names the strategies of its sentence', () => {
  expect(toSpeaker(['temper', 'anchored', 'free', 'pull'])).toBe('all');
  expect(toSpeaker(['anchored', 'free'])).toBe('free, anchored');
});
