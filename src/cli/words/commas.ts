import {
  decomposeComma,
  formatComma,
  formatRatio,
  type PrimeVector,
  power,
  toDeviationCents,
} from '../../core/theory/index.js';
import { formatCents } from './numbers.js';

/**
 * How far something moved, in words that say which way.
 *
 * @example formatMove([4, -4, 1, 0, 0, 0])    // 'one syntonic comma lower': 80/81
 * @example formatMove([10, -6, 1, -1, 0, 0])  // 'one syntonic comma lower and one septimal comma higher': 5120/5103
 */
export function formatMove(v: PrimeVector): string {
  const parts = decomposeComma(v);
  if (parts === undefined) return `by the ratio ${formatRatio(v)}`;
  if (parts.length === 0) return 'at the same place';
  return parts
    .map(({ comma, count }) => {
      // A power of a named comma is one part, with its sign in front: "+2 syntonic commas".
      const counted = formatComma(power(comma.ratio, Math.abs(count)))
        .slice(1)
        .replace(/^1 /, 'one ');
      return `${counted} ${count < 0 ? 'lower' : 'higher'}`;
    })
    .join(' and ');
}

/**
 * A drift: exactly, by name and in cents.
 * @example formatDrift([4, -4, 1, 0, 0, 0])  // '80/81 (−1 syntonic comma, −21.5 c)'
 */
export function formatDrift(v: PrimeVector): string {
  const ratio = formatRatio(v);
  return ratio === '1/1' ? 'none' : `${ratio} (${formatComma(v)}, ${formatCents(toDeviationCents(v))})`;
}
