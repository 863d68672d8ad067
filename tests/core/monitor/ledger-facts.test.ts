import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toDriftFact, toEntryFact, toTotalsFact } from '../../../src/core/monitor/index.js';
import type { EntryFact } from '../../../src/core/protocol/index.js';
import { STRATEGIES, step, toDrift, toSettings } from '../../../src/core/tuner/index.js';
import { formatEntry } from '../../../src/core/words/index.js';
import { keysOf, Playing } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { PUMPS } from '../../support/pumps.js';
import { playing } from '../../support/random-playing.js';
import { Trio } from '../../support/trio.js';

/** A slow chord, its common tones tied: memory lets it drift. */
function playChord(trio: Trio, names: string): void {
  const keys = keysOf(names);
  trio.chord(keys, keys, 3000);
}

/** Plays a pump so many times, and its first chord again. */
function pumped(passes: number): Trio {
  const trio = new Trio();
  const [pump] = PUMPS;
  for (let pass = 0; pass < passes; pass++) for (const chord of pump.chords) playChord(trio, chord.keys);
  playChord(trio, pump.chords[0].keys);
  return trio;
}

describe('toDriftFact', () => {
  test('gives after two falling pumps two commas for free, and none for anchored', () => {
    const { tuners } = pumped(2);
    expect(toDriftFact(tuners.free)).toEqual({
      ratio: '6400/6561',
      comma: '−2 syntonic commas',
      commaCents: -43.013,
      backCents: 0,
      leftCents: -43.013,
      meanCents: -43.013,
    });
    const anchored = toDriftFact(tuners.anchored);
    expect(anchored.commaCents).toBe(-43.013);
    expect(anchored.backCents).toBeGreaterThan(35 - 1e-9);
    expect(Math.abs(anchored.meanCents!)).toBeLessThanOrEqual(8 + 1e-3);
  });

  test('keeps the drift in silence, where nothing is any distance from home', () => {
    const trio = pumped(1);
    const sounding = toDriftFact(trio.tuners.pull);
    trio.tell({ kind: 'silence', atMs: trio.nowMs, part: 0 });
    trio.wait(5000);
    expect(toDriftFact(trio.tuners.pull)).toEqual({ ...sounding, meanCents: null });
  });

  test('gives no drift before the first note', () => {
    const none = { ratio: '1/1', comma: 'none', commaCents: 0, backCents: 0, leftCents: 0, meanCents: null };
    expect(toDriftFact(new Trio().tuners.free)).toEqual(none);
  });

  test('has figures that add up to the thousandth', () => {
    forAll([playing(), fc.constantFrom(...STRATEGIES)], 30, (events, strategy) => {
      const player = new Playing({ strategy });
      for (const event of events) {
        step(player.tuner, event, player.telling);
        const { commaCents, backCents, leftCents } = toDriftFact(player.tuner);
        expect(leftCents).toBeCloseTo(commaCents + backCents, 9);
        expect(Math.abs(leftCents - toDrift(player.tuner).leftCents)).toBeLessThan(0.0011);
      }
    });
  });
});

test('the totals are those of the ledger', () => {
  const trio = pumped(2);
  const { totals } = trio.tuners.anchored.ledger;
  const fact = toTotalsFact(trio.tuners.anchored);
  expect(fact.returns).toBe(totals.returns);
  expect(fact.returns).toBeGreaterThan(0);
  expect(fact.glidedCents).toBeCloseTo(totals.glidedCents, 3);
  expect(fact.jumpedCents).toBeCloseTo(totals.jumpedCents, 3);
  expect(fact.offsetCents).toBeCloseTo(totals.offsetTravelCents, 3);
  expect(fact.impurityCentSeconds).toBeCloseTo(totals.impurityCentSeconds, 3);
  expect(toTotalsFact(trio.tuners.free).offsetCents).toBeLessThan(fact.offsetCents);
});

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

  test('says of a return where the note was, where it is, and by which comma it moved', () => {
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

  test('says of a step of the drift which note shows it, and to which note that was tied', () => {
    const steps = entries.flatMap((entry) =>
      entry.kind === 'drift' && entry.strategy === 'free' ? [entry] : [],
    );
    expect(steps).toHaveLength(2);
    const [step, again] = steps;
    expect(step).toMatchObject({
      pass: 1,
      name: 'G2⁻¹',
      ratio: '80/81',
      comma: '−1 syntonic comma',
      by: 'D5⁻¹',
    });
    expect(again).toMatchObject({ pass: 2, name: 'G2⁻²', cents: -21.506, by: 'D5⁻²' });
    expect(formatEntry({ ...step, name: 'G', by: 'D' })).toBe(
      'G came back a comma low: it was tied to D. That moved the drift by −21.5 c.',
    );
  });

  test('counts the entries of each strategy from 1, without a gap', () => {
    for (const strategy of ['free', 'pull', 'anchored'] as const) {
      const numbers = entries.filter((entry) => entry.strategy === strategy).map((entry) => entry.n);
      expect(numbers).toEqual(numbers.map((_, i) => i + 1));
      expect(numbers.length).toBeGreaterThan(0);
    }
  });

  test('names the causes first chord, anchor and pull; free never moves after its first chord', () => {
    const causes = (strategy: string) =>
      entries.flatMap((entry) =>
        entry.kind === 'offset' && entry.strategy === strategy ? [entry.cause] : [],
      );
    expect(new Set(causes('free'))).toEqual(new Set(['first strike']));
    expect(new Set(causes('pull'))).toEqual(new Set(['first strike', 'pull']));
    expect(new Set(causes('anchored'))).toEqual(new Set(['first strike', 'anchor']));
  });

  test('enters held notes that stay as impure when they end', () => {
    const impure = booked('stay').filter((entry) => entry.kind === 'impurity');
    expect(impure.length).toBeGreaterThan(0);
    for (const entry of impure) {
      if (entry.kind !== 'impurity') continue;
      expect(entry.name).toMatch(/^[A-G][♯♭]?\d/);
      expect(entry.centSeconds).toBeGreaterThan(0);
      expect(entry.untilMs).toBeGreaterThan(entry.atMs);
    }
  });

  test('has times before the session began: what was played in advance', () => {
    const { tuner } = new Playing({ strategy: 'pull' });
    const span = { atMs: -5, untilMs: 5, cents: 0.03, struck: 0, tied: 1 };
    const fact = toEntryFact(tuner, { kind: 'offset', cause: 'pull', ...span }, { n: 1, pass: 0 });
    expect(fact).toMatchObject({ atMs: -5, untilMs: 5, held: toSettings({}).held });
  });
});
