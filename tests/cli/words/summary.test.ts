import { expect, test } from 'vitest';
import { formatCounters, formatPlan } from '../../../src/cli/words/summary.js';

const NOTHING = { clampedBends: 0, sharedNotes: 0, hurriedNotes: 0, foldedNotes: 0, peakChannels: 4 };

test('an outlet that gave nothing up says nothing', () => {
  expect(formatCounters({ kind: 'mpe', ...NOTHING })).toEqual([]);
});

test('what it gave up is said in words, one sentence each', () => {
  const counters = { clampedBends: 1, sharedNotes: 2, hurriedNotes: 3, foldedNotes: 1, peakChannels: 15 };
  expect(formatCounters({ kind: 'mts', ...counters })).toEqual([
    '1 time a note reached the end of its bend range and wanted more',
    '2 notes had to share a key with one still sounding, for want of a free one',
    '3 notes took a channel on which another was still fading, and bent its tail',
    '1 note sent on a neighbouring key, as the pitch is nearer to that one',
  ]);
});

test('a plan says what it costs, and how far from the best it can be', () => {
  const plan = { cost: 475.63, liveCost: 483.76, leastCost: 425.24, gapPercent: 10.6 };
  expect(formatPlan(plan)).toBe(
    'costs 475.6, where the live rule costs 483.8; no ratios can cost less than 425.2 (10.6 % less)',
  );
  expect(formatPlan({ ...plan, leastCost: 475.63, gapPercent: 0 })).toBe(
    'costs 475.6, where the live rule costs 483.8; no ratios cost less',
  );
});
