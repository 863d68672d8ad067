import { formatRatio, type PrimeVector } from '../../core/theory/index.js';

/** Cents with their sign, to a tenth. @example formatSignedCents(-8.04)  // '−8.0' */
export function formatSignedCents(cents: number): string {
  const size = Math.abs(cents).toFixed(1);
  if (size === '0.0') return size;
  return `${cents < 0 ? '−' : '+'}${size}`;
}

/**
 * A comma product as one can read it: as a power, where it is one.
 * @example formatDrift(power(ratio('80/81'), 8))  // '(80/81)⁸'
 */
export function formatDrift(drift: PrimeVector): string {
  const times = drift.reduce((common, exponent) => divisor(common, Math.abs(exponent)), 0);
  if (times < 2) return formatRatio(drift);
  const [two, three, five, seven, eleven, thirteen] = drift.map((exponent) => exponent / times);
  const figures = [...String(times)].map((figure) => '⁰¹²³⁴⁵⁶⁷⁸⁹'[Number(figure)]);
  return `(${formatRatio([two, three, five, seven, eleven, thirteen])})${figures.join('')}`;
}

/** Greatest common divisor. */
function divisor(a: number, b: number): number {
  return b === 0 ? a : divisor(b, a % b);
}
