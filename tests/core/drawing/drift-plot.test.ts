import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  COMMA_CENTS,
  DRIFT_LINES,
  drawDriftPlot,
  formatCommas,
  formatShapes,
  formatTick,
  type PlotFrame,
  toCommaRules,
  toPlotScale,
  toTicks,
} from '../../../src/core/drawing/index.js';

describe('the scales of a chart', () => {
  test('have a syntonic comma at 21.506 cents', () => expect(COMMA_CENTS).toBeCloseTo(21.506, 3));

  test('have lines at whole commas without home, and fewer where they crowd', () => {
    expect(toCommaRules({ low: -50, high: 25 })).toEqual([-2, -1, 1]);
    expect(toCommaRules({ low: -30 * COMMA_CENTS, high: 0 }, 9)).toEqual([-30, -25, -20, -15, -10, -5]);
  });

  test('have round numbers', () => {
    expect(toTicks({ low: -54, high: 22 }, 5)).toEqual([-40, -20, 0, 20]);
    expect(toTicks({ low: 0, high: 100 }, 6)).toEqual([0, 20, 40, 60, 80, 100]);
    expect([-2, 1].map(formatCommas)).toEqual(['−2 commas', '+1 comma']);
  });
});

const FRAME: PlotFrame = {
  left: 100,
  right: 200,
  top: 0,
  bottom: 50,
  edge: 290,
  from: 10,
  to: 110,
  low: -25,
  high: 25,
  unit: 'c',
  ink: '#000',
  faint: '#555',
  rule: '#ddd',
};

test('a drift plot has times and values within its frame, and times outside of it at its edge', () => {
  const { x, y } = toPlotScale(FRAME);
  expect([0, 10, 60, 110, 999].map(x)).toEqual([100, 100, 150, 200, 200]);
  expect([-25, 0, 25].map(y)).toEqual([50, 25, 0]);
});

test('a drift curve is one path with gaps in silence, and its label is at its end', () => {
  const points = [
    [10, 0],
    [20, 5],
    [30, null],
    [40, null],
    [50, 10],
    [60, 15],
    [70, null],
  ].map(([at, value]) => ({ at: Number(at), value }));
  const svg = formatShapes(drawDriftPlot(FRAME, [{ points, label: 'free', colour: '#111', dash: [2, 5] }]));
  expect(svg).toContain(
    '<path d="M100 25L110 20M140 15L150 10" fill="none" stroke="#111" stroke-width="2.5" stroke-dasharray="2 5" stroke-linejoin="round"/>',
  );
  expect(svg.at(-1)).toBe('<text x="216" y="15" font-size="16" fill="#111" font-weight="bold">free</text>');
  const solid = drawDriftPlot(FRAME, [{ points: [], label: '', colour: '#111', dash: [] }]).at(-2);
  expect(solid).not.toHaveProperty('dash');
});

test('a drift plot rules home in ink, other lines faintly, and in percent has no commas and no signs', () => {
  const svg = formatShapes(drawDriftPlot(FRAME, [])).join('\n');
  expect(svg.match(/stroke="#000"/g)).toHaveLength(1);
  for (const words of ['>−20 c<', '>+20 c<', '>0 c<', '>−1 comma<', '>+1 comma<'])
    expect(svg).toContain(words);
  const percent = formatShapes(drawDriftPlot({ ...FRAME, low: 0, high: 100, unit: '%' }, [])).join('\n');
  expect(percent).toContain('>20 %<');
  expect(percent).not.toMatch(/comma|\+/);
});

test('the numbers of a scale of cents have their sign, and home has none', () => {
  expect([-20, 0, 5].map(formatTick)).toEqual(['−20', '0', '+5']);
});

test('no two strategies have the same dashes, and their colours are those of the light page', () => {
  expect(new Set(Object.values(DRIFT_LINES).map(({ dash }) => String(dash))).size).toBe(4);
  const [day] = readFileSync('src/page/style/paper.css', 'utf8').split('@media');
  for (const [line, { colour }] of Object.entries(DRIFT_LINES))
    expect(day).toContain(`--${line}: ${colour};`);
});
