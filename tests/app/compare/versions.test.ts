import { describe, expect, test } from 'vitest';
import { toComparisonSvg } from '../../../src/app/compare/picture.js';
import { toChordRows } from '../../../src/app/compare/report-page.js';
import { toComparisonCsv, toComparisonJson } from '../../../src/app/compare/tables.js';
import { compareVersions, toOnePiece } from '../../../src/app/compare/versions.js';
import { tracksOf } from '../../../src/core/midi/index.js';
import { DEFAULT_PLAN } from '../../../src/core/score/index.js';
import { formatPower, power, ratio, UNISON } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { BASS, CHOIR } from '../../support/choir.js';
import { comparison, file, settings, version } from '../../support/warm-up.js';

describe('the versions of a warm-up that falls a comma each pass', () => {
  test('are 12 equal first, then the strategies, all of the same notes', () => {
    expect(comparison.versions.map(({ name }) => name)).toEqual(
      'equal free pull anchored temper live'.split(' '),
    );
    const strikes = version('equal').notes.map(({ key, onMs }) => [key, onMs]);
    for (const { notes } of comparison.versions)
      expect(notes.map(({ key, onMs }) => [key, onMs])).toEqual(strikes);
  });

  test('differ: free is pure and drifts by eight commas, the others stay near home with impurities', () => {
    const [free, anchored, pull, temper] = (['free', 'anchored', 'pull', 'temper'] as const).map(version);
    expect(formatPower(free.ending?.drift.commas ?? UNISON)).toBe('(80/81)⁸');
    expect(free.figures.purePercent).toBeCloseTo(100, 6);
    expect(free.figures.travelCents).toBe(0);
    expect(free.figures.farthestCents).toBeGreaterThan(160);
    expect(anchored.figures.farthestCents).toBeLessThan(15);
    expect(Math.abs(anchored.ending?.fromHomeCents ?? 99)).toBeLessThanOrEqual(8.001);
    expect(pull.figures.travelCents).toBeGreaterThan(8 * 21.5);
    expect(temper.figures.purePercent).toBeLessThan(anchored.figures.purePercent);
    // Knowing the whole piece, less is moved than live.
    expect(anchored.figures.travelCents).toBeLessThan(version('live').figures.travelCents);
    expect(version('equal').figures.purePercent).toBeLessThan(20);
    expect(version('equal').figures.beats['major third']).toBeGreaterThan(4);
    expect(free.figures.beats['major third']).toBeLessThan(0.001);
  });

  test('have offsets that end at the sum of their moves', () => {
    for (const { offset, entries } of comparison.versions) {
      const moves = entries.reduce((sum, entry) => sum + (entry.kind === 'offset' ? entry.cents : 0), 0);
      expect(offset.at(-1)?.cents ?? 0).toBeCloseTo(moves, 6);
    }
  });
});

test.each([
  ['pull', DEFAULT_PLAN, 'live', 'pull, live'],
  ['free', 'live', 'plan', 'free, planned'],
  ['temper', 'live', 'plan', 'anchored, planned'],
] as const)(
  'the versions of a comparison under %s, tuned by %j, end with %s',
  (strategy, planning, name, title) => {
    const outlet = { kind: 'mpe', bendRange: undefined } as const;
    const { versions } = compareVersions(file, {
      settings: toSettings({ strategy }),
      outlet,
      plan: planning,
    });
    expect(versions.at(-1)).toMatchObject({ name, title });
    expect(versions).toHaveLength(6);
  },
);

test('the tables of a comparison have one row a version, and its JSON has the drift curves', () => {
  const csv = toComparisonCsv(comparison).trim().split('\r\n');
  expect(csv).toHaveLength(7);
  expect(csv[0]).toContain('"pure, %"');
  expect(csv[2]).toMatch(/^free,120,100,/);
  const json = JSON.parse(toComparisonJson('warm-up.mid', comparison));
  expect(json).toMatchObject({ kind: 'leeway comparison', version: 2, input: 'warm-up.mid' });
  expect(json.settings.strategy).toBe('anchored');
  expect(json.plan).toEqual({ end: 'open', smoothSeconds: DEFAULT_PLAN.smoothSeconds });
  expect(json.versions[1].course.bodyCents).toHaveLength(600);
  expect(json.versions[1].figures['in commas']).toBe('−8 syntonic commas');
});

test('the chords of a comparison are at the moments that explain shows, with one column a version', () => {
  const rows = toChordRows(file, comparison);
  expect(rows[0]).toMatchObject({
    bar: 1,
    beat: 1,
    names: ['C3⁰', 'G3⁰', 'E4⁻¹', 'C5⁰'],
    ratios: ['1/1', '3/2', '5/2', '4/1'],
    drift: '1/1',
  });
  for (const { leftCents } of rows) {
    expect(leftCents).toHaveLength(6);
    expect(leftCents[0]).toBe(0);
  }
  // Free has fallen by then, and anchored hasn't.
  const [, free, , anchored] = rows[rows.length - 1].leftCents;
  expect(free).toBeLessThan(-150);
  // From one edge of its band to the other.
  expect(anchored).toBeGreaterThan(-16.1);
});

test('each piece of a format 2 file is compared separately', () => {
  const several = { ...file, format: 2 as const };
  const one = toOnePiece(several, 1);
  expect(one.format).toBe(1);
  expect(tracksOf(one)).toEqual([tracksOf(file)[1]]);
  expect(toOnePiece(file, 0)).toBe(file);
});

test('versions with a fixed part are pure to it, and leave out the notes of a guide', () => {
  const roles = [BASS, { number: 1, role: 'guide' }] as const;
  const outlet = { kind: 'mpe', bendRange: undefined } as const;
  const { versions } = compareVersions(CHOIR, { settings, outlet, plan: DEFAULT_PLAN, roles });
  for (const { name, notes, figures } of versions) {
    expect(notes).toHaveLength(10);
    const fixed = notes.filter(({ isFixed }) => isFixed);
    expect(fixed.map(({ key, pitch }) => pitch[0].cents - 100 * key)).toEqual([0, 0, 0, 0, 0]);
    expect(figures.purePercent).toBeCloseTo(name === 'equal' ? 40 : 100, 6);
    expect(figures.farthestCents).toBeLessThan(10);
  }
});

test('a file without a note is compared all the same', () => {
  const outlet = { kind: 'mpe', bendRange: undefined } as const;
  const empty = compareVersions({ ...file, chunks: [] }, { settings, outlet, plan: DEFAULT_PLAN });
  expect(empty.versions).toHaveLength(6);
  expect(toComparisonSvg('none', empty)).not.toContain('NaN');
  expect(toComparisonCsv(empty)).not.toContain('NaN');
});

test('a drift by several commas is written as a power', () => {
  expect(formatPower(power(ratio('80/81'), 12))).toBe('(80/81)¹²');
  expect(formatPower(ratio('80/81'))).toBe('80/81');
  expect(formatPower(UNISON)).toBe('1/1');
});
