import { expect, test } from 'vitest';
import {
  DEFAULT_PAPER,
  formatPaper,
  PAPER_SIZES,
  type SheetPaper,
  toPageRule,
  toSheetWidth,
} from '../../../src/app/sheet/sheet-style.js';

const all = PAPER_SIZES.flatMap((size) =>
  [false, true].map((isPortrait): SheetPaper => ({ size, isPortrait })),
);

test.each<[SheetPaper, number, string, string]>([
  // Millimetres between margins of 10: A4 277 and 190, letter 259.4 and 195.9; 1180 units are 277 of them.
  [DEFAULT_PAPER, 1180, 'A4 landscape', 'A4'],
  [{ size: 'a4', isPortrait: true }, 809, 'A4 portrait', 'A4, portrait'],
  [{ size: 'letter', isPortrait: false }, 1105, 'letter landscape', 'letter paper'],
  [{ size: 'letter', isPortrait: true }, 835, 'letter portrait', 'letter paper, portrait'],
])('the paper of a sheet is written in its style: %o', (paper, width, size, words) => {
  expect(toSheetWidth(paper)).toBe(width);
  expect(toPageRule(paper)).toBe(`@page { size: ${size}; margin: 10mm; }`);
  expect(formatPaper(paper)).toBe(words);
});

test('a portrait sheet is narrower than a landscape one, on paper of any size', () => {
  for (const { size } of all)
    expect(toSheetWidth({ size, isPortrait: true })).toBeLessThan(toSheetWidth({ size, isPortrait: false }));
});
