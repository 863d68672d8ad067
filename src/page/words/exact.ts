import { formatRatio, type PrimeVector, parseRatio } from '../../core/theory/index.js';

const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/**
 * A ratio as one reads it from the back row: a power of a small one is written as that power.
 * @example formatPower('6400/6561')  // '(80/81)²'
 * @example formatPower('128/125')    // '128/125'
 */
export function formatPower(text: string): string {
  const parsed = parseRatio(text);
  if (!parsed.ok) return text;
  const times = parsed.value.reduce(greatestDivisor, 0);
  if (times < 2) return text;
  const root = parsed.value.map((exponent) => exponent / times) as unknown as PrimeVector;
  const raised = [...String(times)].map((digit) => RAISED[Number(digit)]).join('');
  return `(${formatRatio(root)})${raised}`;
}

/** A ratio short enough to be said in a sentence. @example isShort('10/9')  // true */
export function isShort(ratio: string): boolean {
  return ratio.length <= 9;
}

function greatestDivisor(a: number, b: number): number {
  let [x, y] = [Math.abs(a), Math.abs(b)];
  while (y !== 0) [x, y] = [y, x % y];
  return x;
}
