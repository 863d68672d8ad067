import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { COMMA_CENTS } from '../../../src/core/drawing/index.js';
import { forStrategies } from '../../../src/core/protocol/index.js';
import { toDriftSvg } from '../../../src/page/drift/drift-svg.js';
import {
  findMoment,
  formatAgo,
  SPANS_SECONDS,
  toRange,
  toTimeTicks,
} from '../../../src/page/drift/scales.js';
import { forAll } from '../../support/properties.js';

describe("the scales of the page's drift chart", () => {
  test('have a range with home, the leeway and the lines, of at least a comma either way', () => {
    expect(toRange(0, 0, 0)).toEqual({ low: -COMMA_CENTS, high: COMMA_CENTS });
    expect(toRange(-43, 0, 8).low).toBeCloseTo(-48.39, 2);
    expect(toRange(-43, 0, 8).high).toBeCloseTo(21.51, 2);
    forAll(
      [
        fc.double({ min: -500, max: 0, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        fc.nat(100),
      ],
      (low, high, leeway) => {
        const range = toRange(low, high, leeway);
        expect(range.low).toBeLessThan(Math.min(low, -leeway) + 1e-9);
        expect(range.high).toBeGreaterThan(Math.max(high, leeway) - 1e-9);
        // Room for the passes above, and not much more.
        const [most, whole] = [Math.max(high, leeway), range.high - range.low];
        expect(range.high - most).toBeGreaterThan(0.11 * whole);
        expect(range.high - most).toBeLessThan(0.12 * whole + 1.6 * COMMA_CENTS);
        expect(Math.min(low, -leeway) - range.low).toBeLessThan(1.6 * COMMA_CENTS);
      },
    );
  });

  test('have ticks at round values', () => {
    expect(toTimeTicks(60)).toEqual([0, 15, 30, 45, 60]);
    for (const span of SPANS_SECONDS) {
      const ticks = toTimeTicks(span);
      expect(ticks.at(-1)).toBe(span);
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
  const svg = toDriftSvg(
    {
      log,
      nowSeconds: 30,
      spanSeconds: 30,
      leewayCents: 8,
      passes: [{ n: 2, atMs: 20_000, left: forStrategies(() => 0) }],
    },
    palette,
  );

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
    for (const words of 'free −43.0, pull −2.0, anchored −8.0, temper −2.0, −1 comma, −2 commas, pass 2, now'.split(
      ', ',
    )) {
      expect(svg).toContain(words);
    }
    expect(svg).not.toContain('NaN');
    expect(svg).not.toMatch(/https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
  });

  test('draws an empty session as an empty chart', () => {
    const empty = { seconds: [], free: [], pull: [], anchored: [], temper: [] };
    const blank = toDriftSvg(
      { log: empty, nowSeconds: 0, spanSeconds: 60, leewayCents: 0, passes: [] },
      palette,
    );
    expect(blank).not.toMatch(/NaN|undefined|Infinity/);
  });
});
