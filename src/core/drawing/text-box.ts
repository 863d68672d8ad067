import type { TextShape } from './shapes.js';

/** A rectangle, its edges. */
export interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Widths in parts of the letter size, rounded up: about the widest of the common sans-serif fonts. */
const NARROW = new Map<string, number>();
for (const [signs, width] of [
  ["iljI.,:;'|!", 0.34],
  [' ·/()[]ftr⁽⁾₍₎', 0.4],
  ['⁰¹²³⁴⁵⁶⁷⁸⁹ᵈ₀₁₂₃₄₅₆₇₈₉', 0.42],
  ['♯♭-', 0.49],
  ['⁺⁻₊₋', 0.54],
  ['mwMW−+=→←↑↓%@', 0.94],
] as const) {
  for (const sign of signs) NARROW.set(sign, width);
}
const COMMON = 0.66;
const BOLD = 1.1;

/**
 * The largest width of words in a sans-serif font: an estimate, since the reader's fonts are unknown.
 * @example toTextWidth('5/4', 10)  // 17.2
 */
export function toTextWidth(words: string, size: number, bold = false): number {
  let width = 0;
  for (const sign of words) width += NARROW.get(sign) ?? (sign > '\u2fff' ? 1.05 : COMMON);
  return width * size * (bold ? BOLD : 1);
}

/** The box of words: from the height of capitals to a little below the base line. */
export function toTextBox({ x, y, words, size, anchor, bold }: TextShape): Box {
  const width = toTextWidth(words, size, bold);
  const left = anchor === 'start' ? x : anchor === 'middle' ? x - width / 2 : x - width;
  return { left, right: left + width, top: y - 0.76 * size, bottom: y + 0.2 * size };
}

/** Whether two boxes share more than an edge. */
export function overlap(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

/**
 * Words in lines no wider than `width`, broken at spaces; a single longer word stays whole.
 * @param size of the letters, in the drawing's units, as is `width`
 */
export function breakWords(words: string, size: number, width: number, bold = false): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of words.split(' ')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && toTextWidth(longer, size, bold) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return [...lines, line];
}
