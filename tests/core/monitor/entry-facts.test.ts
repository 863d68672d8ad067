import { describe, expect, test } from 'vitest';
import { toEntryFact } from '../../../src/core/monitor/index.js';
import type { EntryFact } from '../../../src/core/protocol/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { keysOf, Playing } from '../../support/play.js';
import { PUMPS } from '../../support/pumps.js';
import { Trio } from '../../support/trio.js';

/** Two slow passes of a falling pump, and all that was entered. */
function booked(held: 'follow' | 'stay' = 'follow'): EntryFact[] {
  const trio = new Trio({ held });
  const [pump] = PUMPS;
  for (trio.pass = 1; trio.pass <= 2; trio.pass++) {
    for (const chord of pump.chords) trio.chord(keysOf(chord.keys), keysOf(chord.keys), 3000);
  }
  trio.tell({ kind: 'silence', atMs: trio.nowMs, part: 0 });
  return trio.entries;
}

describe('toEntryFact', () => {
  const entries = booked();

  test('a return says where the note stood before, where it stands now, and by which comma it moved', () => {
    const returns = entries.filter((entry) => entry.kind === 'return' && entry.strategy === 'free');
    expect(returns[0]).toMatchObject({
      n: expect.any(Number),
      ratio: '80/81',
      comma: '−1 syntonic comma',
      cents: -21.506,
    });
    const bass = returns.find((entry) => entry.kind === 'return' && entry.key % 12 === 0);
    expect(bass).toMatchObject({ pass: 2, name: expect.stringMatching(/^C\d⁻¹$/), was: '1/1', now: '80/81' });
  });

  test('each strategy counts its own entries from 1, without a gap', () => {
    for (const strategy of ['free', 'pull', 'anchored'] as const) {
      const numbers = entries.filter((entry) => entry.strategy === strategy).map((entry) => entry.n);
      expect(numbers).toEqual(numbers.map((_, i) => i + 1));
      expect(numbers.length).toBeGreaterThan(0);
    }
  });

  test('the first chord, the anchor and the pull each say so; free never moves after its first chord', () => {
    const causes = (strategy: string) =>
      entries.flatMap((entry) =>
        entry.kind === 'offset' && entry.strategy === strategy ? [entry.cause] : [],
      );
    expect(new Set(causes('free'))).toEqual(new Set(['first strike']));
    expect(new Set(causes('pull'))).toEqual(new Set(['first strike', 'pull']));
    expect(new Set(causes('anchored'))).toEqual(new Set(['first strike', 'anchor']));
  });

  test('held notes that stay are booked as impure when they end', () => {
    const impure = booked('stay').filter((entry) => entry.kind === 'impurity');
    expect(impure.length).toBeGreaterThan(0);
    for (const entry of impure) {
      if (entry.kind !== 'impurity') continue;
      expect(entry.name).toMatch(/^[A-G][♯♭]?\d/);
      expect(entry.centSeconds).toBeGreaterThan(0);
      expect(entry.untilMs).toBeGreaterThan(entry.atMs);
    }
  });

  test('a time before the session began is 0', () => {
    const { tuner } = new Playing({ strategy: 'pull' });
    const span = { atMs: -5, untilMs: 5, cents: 0.03, struck: 0, tied: 1 };
    const fact = toEntryFact(tuner, { kind: 'offset', cause: 'pull', ...span }, { n: 1, pass: 0 });
    expect(fact).toMatchObject({ atMs: 0, untilMs: 5, held: toSettings({}).held });
  });
});
