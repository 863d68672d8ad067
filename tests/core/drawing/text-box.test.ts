import { expect, test } from 'vitest';
import { breakWords, overlap, toTextBox, toTextWidth, write } from '../../../src/core/drawing/index.js';

const STYLE = { size: 10, fill: '#000' };

test('the estimated width of words grows with each sign and with the size; bold is wider', () => {
  expect(toTextWidth('', 10)).toBe(0);
  expect(toTextWidth('5/4', 10)).toBeCloseTo(17.2, 9);
  expect(toTextWidth('5/4', 20)).toBeCloseTo(34.4, 9);
  expect(toTextWidth('5/4', 10, true)).toBeGreaterThan(toTextWidth('5/4', 10));
  expect(toTextWidth('調律', 10)).toBeGreaterThan(20);
});

test('the estimated width of words has its box around the base line, on the side of the anchor', () => {
  const box = toTextBox(write(100, 50, '5/4', STYLE));
  expect(box.left).toBe(100);
  expect(box.right).toBeCloseTo(117.2, 9);
  expect([box.top, box.bottom]).toEqual([42.4, 52]);
  expect(toTextBox(write(100, 50, '5/4', { ...STYLE, anchor: 'end' })).right).toBe(100);
  const { left, right } = toTextBox(write(100, 50, '5/4', { ...STYLE, anchor: 'middle' }));
  expect((left + right) / 2).toBeCloseTo(100, 9);
});

test('text boxes overlap if they share more than an edge', () => {
  const box = { left: 0, right: 10, top: 0, bottom: 10 };
  expect(overlap(box, { ...box, left: 10, right: 20 })).toBe(false);
  expect(overlap(box, { ...box, left: 9, right: 20 })).toBe(true);
  expect(overlap(box, { ...box, top: 10, bottom: 12 })).toBe(false);
});

test('a text is broken into lines at spaces, and no word is lost', () => {
  const words = 'C⁰ –5/4→ E⁻¹ –4/3→ A⁻¹ –2/3→ D⁻¹';
  const lines = breakWords(words, 10, 90);
  expect(lines.length).toBeGreaterThan(1);
  expect(lines.join(' ')).toBe(words);
  for (const line of lines) expect(toTextWidth(line, 10)).toBeLessThanOrEqual(90);
  expect(breakWords('Donaudampfschiffahrt', 10, 20)).toEqual(['Donaudampfschiffahrt']);
});
