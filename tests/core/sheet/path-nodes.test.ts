import { expect, test } from 'vitest';
import { overlap } from '../../../src/core/drawing/index.js';
import { toNodes } from '../../../src/core/sheet/path-nodes.js';
import { type PrimeVector, UNISON } from '../../../src/core/theory/index.js';

const label = (point: PrimeVector, name: string) => ({ point, name, isHome: false, isEnd: false });
const fifth = label([-1, 1, 0, 0, 0, 0], 'G⁰');

test('points are drawn larger until none is on another', () => {
  // 5 · 7² ÷ 3 lies a third of a fifth to the right of 1/1, and a fifth of one above it.
  const beside = label([-6, -1, 1, 2, 0, 0], 'B♭⁻¹₄₉');
  const unitOf = (labels: Parameters<typeof toNodes>[0]) => {
    const [c, g, ...more] = toNodes([label(UNISON, 'C⁰'), fifth, ...labels]);
    const nodes = [c, g, ...more];
    expect(nodes.some((a, i) => nodes.slice(i + 1).some((b) => overlap(a, b)))).toBe(false);
    return g.x - c.x;
  };
  expect(unitOf([])).toBe(150);
  expect(unitOf([beside])).toBe(180);
});

test('a point that lies on another, however large they are drawn, stands beside it', () => {
  // 5 · 11 · 13² is drawn 6 hundredths of a fifth to the right of 1/1, and nowhere above or below it.
  const twice = label([-12, 0, 1, 0, 1, 2], 'D⁻¹₁₁');
  const nodes = toNodes([label(UNISON, 'C⁰'), fifth, twice]);
  const [c, g, beside] = nodes;
  expect(g.x - c.x).toBe(240);
  expect(g.y).toBe(c.y);
  expect(nodes.some((a, i) => nodes.slice(i + 1).some((b) => overlap(a, b)))).toBe(false);
  // No farther than its own size, and its box about it.
  expect(Math.hypot(beside.x - c.x, beside.y - c.y)).toBeLessThan(60);
  expect([beside.x - beside.left, beside.right - beside.x]).toEqual([
    expect.closeTo((beside.right - beside.left) / 2, 9),
    expect.closeTo((beside.right - beside.left) / 2, 9),
  ]);
  expect([beside.y - beside.top, beside.bottom - beside.y]).toEqual([14, 14]);
});

test('a point that stands aside leaves the others where they belong', () => {
  const twice = label([-12, 0, 1, 0, 1, 2], 'D⁻¹₁₁');
  // 7² · 13 ÷ 11 is drawn below 1/1, where there would be room for the one on it.
  const below = label([-6, 0, 0, 2, -1, 1], 'B♭♭⁰');
  const [c, beside, other] = toNodes([label(UNISON, 'C⁰'), twice, below]);
  expect([(other.x - c.x) / 240, (other.y - c.y) / 240]).toEqual([
    expect.closeTo(-0.06, 9),
    expect.closeTo(0.18, 9),
  ]);
  expect([c, other].filter((one) => overlap(beside, one))).toEqual([]);
});
