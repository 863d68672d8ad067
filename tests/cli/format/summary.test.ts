import { expect, test } from 'vitest';
import { formatCounters, formatPlan, formatWayHome } from '../../../src/cli/format/summary.js';

const NOTHING = { clampedBends: 0, sharedNotes: 0, hurriedNotes: 0, foldedNotes: 0, peakChannels: 4 };

test('the summary says nothing of an outlet without compromises', () => {
  expect(formatCounters({ kind: 'mpe', ...NOTHING })).toEqual([]);
});

test('the summary has a sentence for each kind of compromise of an outlet', () => {
  const counters = { clampedBends: 1, sharedNotes: 2, hurriedNotes: 3, foldedNotes: 1, peakChannels: 15 };
  expect(formatCounters({ kind: 'mts', ...counters })).toEqual([
    '1 time a note reached the end of its bend range and wanted more',
    '2 notes had to share a key with one still sounding, for want of a free one',
    '3 notes took a channel on which a release still sounded, and bent it',
    '1 note sent on a neighbouring key, as the pitch is nearer to that one',
  ]);
});

test('the summary of a plan says how many notes come back elsewhere, and whether it is the best', () => {
  expect(formatPlan({ returns: 1, liveReturns: 19, isBest: false, wayHome: null })).toBe(
    '1 note comes back at another ratio, where the live rule has 19',
  );
  expect(formatPlan({ returns: 12, liveReturns: 19, isBest: true, wayHome: null })).toBe(
    '12 notes come back at another ratio, where the live rule has 19; no plan has a better price',
  );
});

test('the summary of a way home says how many returns there are, how wide, and what is held over them', () => {
  expect(formatWayHome({ returns: 0, againstHeld: 0, widestCents: 0 })).toBe(
    'the ratios themselves lead there',
  );
  expect(formatWayHome({ returns: 1, againstHeld: 0, widestCents: 19.553 })).toBe(
    'the drift is given back in 1 return of at most 19.6 c, none of them against a held note',
  );
  expect(formatWayHome({ returns: 24, againstHeld: 2, widestCents: 21.506 })).toBe(
    'the drift is given back in 24 returns of at most 21.5 c, 2 of them against held notes',
  );
});
