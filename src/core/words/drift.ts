import { formatComma, formatPower, type PrimeVector, toDeviationCents } from '../theory/index.js';
import type { Drift, TunerSettings } from '../tuner/index.js';
import { formatCents, formatSize } from './numbers.js';

/** A drift: ratio, name and cents. @example formatDrift([4, -4, 1, 0, 0, 0])  // '80/81, −1 syntonic comma, −21.5 c' */
export function formatDrift(v: PrimeVector): string {
  const ratio = formatPower(v);
  return ratio === '1/1' ? 'none' : `${ratio}, ${formatComma(v)}, ${formatCents(toDeviationCents(v))}`;
}

/**
 * A drift with what was given back of it, and what is left.
 *
 * @example
 * const drift = { commas: [4, -4, 1, 0, 0, 0], backCents: 13.506, leftCents: -8 };
 * formatDriftLeft(drift)  // '80/81, −1 syntonic comma, −21.5 c; 13.5 c given back, −8.0 c left'
 */
export function formatDriftLeft({ commas, backCents, leftCents }: Drift): string {
  if (Math.abs(backCents) < 0.05) return formatDrift(commas);
  if (formatPower(commas) === '1/1') return `${formatCents(leftCents)} by the offset alone`;
  const isBack = backCents < 0 === toDeviationCents(commas) > 0;
  const back = isBack ? `${formatSize(backCents)} given back` : `${formatCents(backCents)} by the offset`;
  return `${formatDrift(commas)}; ${back}, ${formatCents(leftCents)} left`;
}

const NUMBERS = ['', 'a', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];

/**
 * Where something came back, as players say it: a comma is a syntonic one, and a diesis a lesser one.
 *
 * @param comma as `formatComma` writes it
 * @example formatAway('−1 syntonic comma')  // 'a comma low'
 * @example formatAway('+2 lesser dieses')   // 'two dieses high'
 */
export function formatAway(comma: string): string {
  if (comma === 'none') return 'at the same place';
  if (comma.startsWith('ratio ')) return `off by the ${comma}`;
  const parts = comma.split(', ').map((part) => {
    const [, sign, count, name] = /^([−+])(\d+) (?:syntonic |lesser )?(.*)$/.exec(part)!;
    const article = count === '1' && /^[aeiou]/.test(name) ? 'an' : (NUMBERS[Number(count)] ?? count);
    return `${article} ${name} ${sign === '−' ? 'low' : 'high'}`;
  });
  return parts.join(' and ');
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
