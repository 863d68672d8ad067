import { describe, expect, test } from 'vitest';
import {
  formatPaper,
  PAPER_SIZES,
  type SheetPaper,
  STOCK_PAPER,
  toPageRule,
  toSheetWidth,
} from '../../../src/app/sheet/sheet-style.js';

const all = PAPER_SIZES.flatMap((size) =>
  [false, true].map((isUpright): SheetPaper => ({ size, isUpright })),
);

describe('paper', () => {
  test.each<[SheetPaper, number, string, string]>([
    // Millimetres between margins of 10: A4 277 and 190, letter 259.4 and 195.9; 1180 units are 277 of them.
    [STOCK_PAPER, 1180, 'A4 landscape', 'A4'],
    [{ size: 'a4', isUpright: true }, 809, 'A4 portrait', 'A4, upright'],
    [{ size: 'letter', isUpright: false }, 1105, 'letter landscape', 'letter paper'],
    [{ size: 'letter', isUpright: true }, 835, 'letter portrait', 'letter paper, upright'],
  ])('%o', (paper, width, size, words) => {
    expect(toSheetWidth(paper)).toBe(width);
    expect(toPageRule(paper)).toBe(`@page { size: ${size}; margin: 10mm; }`);
    expect(formatPaper(paper)).toBe(words);
  });

  test('upright is narrower, whatever its size', () => {
    for (const { size } of all)
      expect(toSheetWidth({ size, isUpright: true })).toBeLessThan(toSheetWidth({ size, isUpright: false }));
  });
});
