import { expect, test } from 'vitest';
import { overlap } from '../../../src/core/drawing/index.js';
import { toNodes } from '../../../src/core/sheet/walk-nodes.js';
import { type PrimeVector, UNISON } from '../../../src/core/theory/index.js';

const label = (point: PrimeVector, name: string) => ({ point, name, isHome: false, isEnd: false });
const fifth = label([-1, 1, 0, 0, 0, 0], 'G⁰');

test('points are drawn larger until none is on another', () => {
  // 11/8 lies to the right of 7/4, a fifth of a step away.
  const seven = label([-2, 0, 0, 1, 0, 0], 'B♭⁰₇');
  const eleven = label([-3, 0, 0, 0, 1, 0], 'F♯⁰₁₁');
  const unitOf = (labels: Parameters<typeof toNodes>[0]) => {
    const [c, g, ...more] = toNodes([label(UNISON, 'C⁰'), fifth, ...labels]);
    const nodes = [c, g, ...more];
    expect(nodes.some((a, i) => nodes.slice(i + 1).some((b) => overlap(a, b)))).toBe(false);
    return g.x - c.x;
  };
  expect(unitOf([])).toBe(150);
  expect(unitOf([seven, eleven])).toBeGreaterThan(150);
});

test('points that hardly come apart at all are drawn as large as any', () => {
  // 5 · 7 · 13 lies half a fifth to the right of 1/1, so nearly that twice that way is no way from a fifth.
  const twice = label([0, 0, 2, 2, 0, 2], 'B♭⁻²');
  const [g, b] = toNodes([fifth, twice]);
  expect(b.x - g.x).toBeCloseTo(0.04 * 480, 9);
  expect(g.y - b.y).toBeCloseTo(0.04 * 480, 9);
});
