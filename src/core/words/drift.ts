import { formatComma, formatPower, type PrimeVector, toDeviationCents } from '../theory/index.js';
import type { TunerSettings } from '../tuner/index.js';
import { formatCents } from './numbers.js';

/** A drift: ratio, name and cents. @example formatDrift([4, -4, 1, 0, 0, 0])  // '80/81, −1 syntonic comma, −21.5 c' */
export function formatDrift(v: PrimeVector): string {
  const ratio = formatPower(v);
  return ratio === '1/1' ? 'none' : `${ratio}, ${formatComma(v)}, ${formatCents(toDeviationCents(v))}`;
}

/**
 * How far something moved, with its direction.
 *
 * @param comma as `formatComma` writes it
 * @example formatMove('−1 syntonic comma')  // 'one syntonic comma lower'
 * @example formatMove('−1 syntonic comma, +2 schismas')  // 'one syntonic comma lower and 2 schismas higher'
 */
export function formatMove(comma: string): string {
  if (comma === 'none') return 'at the same place';
  if (comma.startsWith('ratio ')) return `by the ${comma}`;
  const parts = comma.split(', ').map((part) => {
    const counted = part.slice(1).replace(/^1 /, 'one ');
    return `${counted} ${part.startsWith('−') ? 'lower' : 'higher'}`;
  });
  return parts.join(' and ');
}

/** What a strategy does with the drift. @example formatStrategy(DEFAULT_SETTINGS)  // 'anchored within 8 c of home' */
export function formatStrategy({
  strategy,
  leewayCents,
  rateCentsPerSecond,
}: Pick<TunerSettings, 'strategy' | 'leewayCents' | 'rateCentsPerSecond'>): string {
  switch (strategy) {
    case 'free':
      return 'free: the pitch may drift';
    case 'pull':
      return `pulled at ${rateCentsPerSecond} c a second to within ${leewayCents} c of home`;
    case 'anchored':
      return `anchored within ${leewayCents} c of home`;
    case 'temper':
      return 'tempered near home';
  }
}
