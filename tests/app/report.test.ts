import { expect, test } from 'vitest';
import { roundCents, toCommaReport, toDoneReport, toRetuneReport } from '../../src/app/report.js';
import { retune } from '../../src/app/retune.js';
import { DEFAULT_PLAN, type Planning } from '../../src/core/score/index.js';
import { ratio } from '../../src/core/theory/index.js';
import { toSettings } from '../../src/core/tuner/index.js';
import { type BuiltNote, buildMidi, PUMP } from '../support/build-midi.js';

const FREE = toSettings({ strategy: 'free' });

function toReport(notes: readonly BuiltNote[], settings = FREE, plan: Planning = DEFAULT_PLAN) {
  const file = buildMidi(notes);
  const retuned = retune(file, { settings, outlet: { kind: 'mpe', bendRange: undefined }, plan });
  return toDoneReport('a.mid', 'b.mid', file, [], retuned);
}

test('the report of a falling pump is right to the last cent', () => {
  const { pieces, ...rest } = toReport(PUMP);
  expect(rest).toEqual({ ok: true, input: 'a.mid', output: 'b.mid', format: 0, warnings: [] });
  const [piece] = pieces;
  expect(piece.notes).toBe(10);
  expect(piece.seconds).toBe(10);
  expect(piece.ending?.drift).toEqual({
    ratio: '80/81',
    words: '−1 syntonic comma',
    cents: -21.506,
    backCents: 0,
    leftCents: -21.506,
  });
  expect(piece.totals).toMatchObject({ returns: 3, jumpedCents: 64.519, glidedCents: 0 });
  const drifts = piece.keyClasses.map(({ keyClass, moved }) => [keyClass, moved.ratio]);
  expect(drifts).toEqual([
    [0, '80/81'],
    [2, '1/1'],
    [4, '80/81'],
    [5, '1/1'],
    [7, '80/81'],
    [9, '1/1'],
    [11, '1/1'],
  ]);
});

test('the report of an anchored pump ends within the leeway, and shows what that cost', () => {
  const [piece] = toReport(PUMP, toSettings({ strategy: 'anchored', leewayCents: 8 })).pieces;
  expect(piece.ending?.drift.ratio).toBe('80/81');
  expect(Math.abs(piece.ending?.fromHomeCents ?? Infinity)).toBeLessThanOrEqual(8.001);
  expect(piece.totals.glidedCents).toBeGreaterThan(0);
});

test('the report of a piece without a note has no ending', () => {
  const [piece] = toReport([]).pieces;
  expect([piece.notes, piece.ending, piece.keyClasses]).toEqual([0, null, []]);
});

test('the report has null for an endless leeway, since JSON has no infinity', () => {
  const report = toRetuneReport(FREE, [], 'live');
  expect(JSON.parse(JSON.stringify(report))).toMatchObject({
    kind: 'leeway retune report',
    version: 2,
    settings: { strategy: 'free', leewayCents: null, a4Hz: 440, tonic: 'C' },
    files: [],
  });
});

test.each([
  ['80/81', '−1 syntonic comma', -21.506],
  ['128/125', '+1 lesser diesis', 41.059],
  ['1/1', 'none', 0],
])('the report writes the ratio %s as %s', (text, words, cents) => {
  expect(toCommaReport(ratio(text))).toEqual({ ratio: text, words, cents });
});

test('the cents of a report are never minus zero', () =>
  expect(Object.is(roundCents(-0.0001), 0)).toBe(true));
