import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { COMMA_CENTS } from '../../../src/core/drawing/index.js';
import { forStrategies, STRATEGIES } from '../../../src/core/protocol/index.js';
import { toDriftSvg } from '../../../src/page/drift/drift-svg.js';
import {
  chooseExtent,
  findMoment,
  formatAgo,
  SPANS,
  toRange,
  toTimeTicks,
  toWindow,
} from '../../../src/page/drift/scales.js';
import { forAll } from '../../support/properties.js';

describe("the scales of the page's drift chart", () => {
  test('have a range with all they show, of at least two commas', () => {
    expect(toRange({ low: -43, high: 8 }).low).toBeCloseTo(-48.39, 2);
    expect(toRange({ low: -43, high: 8 }).high).toBeCloseTo(21.51, 2);
    forAll(
      [fc.double({ min: -900, max: 900, noNaN: true }), fc.double({ min: 0, max: 500, noNaN: true })],
      (low, size) => {
        const range = toRange({ low, high: low + size });
        expect(range.low).toBeLessThan(low);
        expect(range.high).toBeGreaterThan(low + size);
        expect(range.high - range.low).toBeGreaterThan(2 * COMMA_CENTS - 0.1);
        // Room for the passes above, and not much more.
        expect(range.high - range.low).toBeLessThan(1.14 * size + 4 * COMMA_CENTS);
      },
    );
  });

  test('show the first line whole, and leave out what would flatten the rest', () => {
    const home = { low: -8, high: 8 };
    expect(chooseExtent([home, { low: -43, high: 0 }])).toEqual({ low: -43, high: 8 });
    expect(chooseExtent([home, { low: -869, high: -820 }, { low: -10, high: 2 }])).toEqual({
      low: -10,
      high: 8,
    });
    expect(chooseExtent([{ low: -869, high: -820 }, home])).toEqual({ low: -869, high: -820 });
    forAll(
      [fc.array(fc.tuple(fc.integer({ min: -999, max: 99 }), fc.nat(99)), { minLength: 1 })],
      (lines) => {
        const all = lines.map(([low, size]) => ({ low, high: low + size }));
        const chosen = chooseExtent(all);
        expect(chosen.low).toBeLessThanOrEqual(all[0].low);
        expect(chosen.high).toBeGreaterThanOrEqual(all[0].high);
        expect(chosen.high - chosen.low).toBeLessThanOrEqual(
          Math.max(8 * COMMA_CENTS, all[0].high - all[0].low),
        );
      },
    );
  });

  test('reach from the beginning of a pass to its end, or over the last seconds', () => {
    const left = forStrategies(() => 0);
    const passes = [1, 2, 3].map((n) => ({ n, atMs: 10_000 * n, left }));
    const playing = { tempo: 2, positionMs: 4000, toMs: 20_000 };
    const by = (count: number, now: number) =>
      toWindow({ kind: 'passes', passes: count }, now, passes, playing as never);
    expect(by(1, 32)).toEqual({ from: 30, to: 40 });
    expect(by(3, 32)).toEqual({ from: 10, to: 40 });
    expect(by(30, 32)).toEqual({ from: 10, to: 40 });
    expect(toWindow({ kind: 'passes', passes: 1 }, 55, passes, null)).toEqual({ from: 30, to: 55 });
    expect(toWindow({ kind: 'passes', passes: 3 }, 100, [], null)).toEqual({ from: 40, to: 100 });
    expect(toWindow({ kind: 'seconds', seconds: 10 }, 32, passes, null)).toEqual({ from: 22, to: 32 });
  });

  test('have ticks at round values', () => {
    expect(toTimeTicks(60)).toEqual([0, 15, 30, 45, 60]);
    for (const [span] of SPANS) {
      if (span.kind !== 'seconds') continue;
      const ticks = toTimeTicks(span.seconds);
      expect(ticks.at(-1)).toBe(span.seconds);
      expect(ticks.length).toBeLessThanOrEqual(8);
    }
    expect([0, 45, 60, 90, 150, 600].map(formatAgo)).toEqual(
      'now, 45 s, 1 min, 1½ min, 2½ min, 10 min'.split(', '),
    );
  });

  test('the moment at a time is the last one before that time', () => {
    expect([0, 5, 9.9, 10, 99].map((at) => findMoment([1, 5, 10], at))).toEqual([0, 1, 1, 2, 2]);
  });
});

describe('toDriftSvg', () => {
  const palette = {
    paper: '#fff',
    ink: '#000',
    faint: '#555',
    rule: '#ddd',
    band: '#eee',
    free: '#a00',
    pull: '#0a0',
    anchored: '#00a',
    temper: '#a0a',
  };
  const log = {
    seconds: [0, 10, 20, 30],
    free: [0, -21.5, -21.5, -43],
    pull: [0, -5, -5, -2],
    anchored: [0, -8, -8, -8],
    temper: [0, -2, -2, -2],
  };
  const view = {
    window: { from: 0, to: 30 },
    nowSeconds: 30,
    leewayCents: 8,
    passes: [{ n: 2, atMs: 20_000, left: forStrategies(() => 0) }],
    byPasses: false,
    lines: STRATEGIES,
    heard: 'anchored',
    steps: [],
  } as const;
  const svg = toDriftSvg(log, view, palette);

  test('has four lines without a gap, each with its own colour and dash', () => {
    const paths = svg.match(/<path[^>]*>/g) ?? [];
    expect(paths).toHaveLength(4);
    expect(new Set(paths.map((path) => /stroke-dasharray="([^"]*)"/.exec(path)?.[1])).size).toBe(4);
    expect(new Set(paths.map((path) => /stroke="([^"]*)"/.exec(path)?.[1]))).toEqual(
      new Set(['#a00', '#0a0', '#00a', '#a0a']),
    );
    for (const path of paths) expect(path.match(/M/g)).toHaveLength(1);
  });

  test('has labels with figures at the ends, home, the band, commas and the second pass', () => {
    for (const words of 'free −43.0, pull −2.0, anchored −8.0, temper −2.0, −1 comma, −2 commas, pass 2, now, (heard)'.split(
      ', ',
    )) {
      expect(svg).toContain(words);
    }
    expect(svg).not.toContain('NaN');
    expect(svg).not.toMatch(/https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
  });

  test('draws an empty session as an empty chart', () => {
    const empty = { seconds: [], free: [], pull: [], anchored: [], temper: [] };
    const blank = toDriftSvg(empty, { ...view, passes: [], leewayCents: 0 }, palette);
    expect(blank).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('shows the lines that were left in, and passes under the chart where it goes by passes', () => {
    const some = toDriftSvg(log, { ...view, lines: ['free'], byPasses: true }, palette);
    expect(some.match(/<path/g)).toHaveLength(1);
    expect(some).not.toContain('pull');
    expect(some).not.toContain('now');
    expect(some).toContain('pass 2');
  });
});
