import { describe, expect, test } from 'vitest';
import { formatSlowest, Slowest } from './slowest.js';

describe('the slowest messages', () => {
  test('are sorted from the slowest, and no more than wanted', () => {
    const slowest = new Slowest(3);
    for (const [i, ms] of [2, 5, 1, 4, 3].entries())
      if (slowest.admits(ms)) slowest.add(1000 * i, ms, 'melody', undefined);
    expect(slowest.messages.map(({ ms }) => ms)).toEqual([5, 4, 3]);
    expect(slowest.admits(3)).toBe(false);
    expect(slowest.admits(3.1)).toBe(true);
  });

  test('know what happened just before and during them, and their garbage collections', () => {
    const slowest = new Slowest(2);
    slowest.happen(850, 'long ago');
    slowest.happen(950, 'settings written');
    slowest.happen(1003, 'Keys unplugged');
    slowest.happen(1020, 'later');
    slowest.add(1000, 10, 'a chord', 6.5);
    slowest.add(2000, 4, 'a cluster', 0);
    slowest.collect(990, 12.5);
    slowest.collect(1009, 8);
    slowest.collect(1500, 100);
    slowest.collect(2001, 1);
    expect(formatSlowest(slowest.messages)).toEqual([
      '10.00 ms at 1.0 s, a chord: waited for a processor 6.50 ms, collected garbage 3.50 ms; just before: settings written, Keys unplugged',
      '4.00 ms at 2.0 s, a cluster: waited for a processor 0.00 ms, collected garbage 1.00 ms',
    ]);
  });

  test('have no processor times where the system has none', () => {
    const slowest = new Slowest(1);
    slowest.add(1000, 2, 'SysEx', undefined);
    expect(formatSlowest(slowest.messages)).toEqual(['2.00 ms at 1.0 s, SysEx']);
  });
});
