export { formatCents, formatSigned } from '../../core/theory/index.js';

/** A length in cents, which has no sign. @example formatSize(21.506)  // '21.5 c' */
export function formatSize(cents: number): string {
  return `${Math.abs(cents).toFixed(1)} c`;
}

/**
 * A time or a length.
 * @example formatSeconds(2.5, 3)   // '2.500 s'
 * @example formatSeconds(75.25, 1) // '1 min 15.3 s'
 */
export function formatSeconds(seconds: number, digits: number): string {
  const rounded = Number(seconds.toFixed(digits));
  if (rounded < 60) return `${rounded.toFixed(digits)} s`;
  const minutes = Math.floor(rounded / 60);
  // Of a whole library nobody counts the seconds.
  if (minutes >= 600) return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return `${minutes} min ${(rounded - 60 * minutes).toFixed(digits)} s`;
}

/** A number of things. @example count(3, 'note')  // '3 notes' */
export function count(number: number, thing: string, things = `${thing}s`): string {
  return `${number} ${number === 1 ? thing : things}`;
}

/** A distance from home, in words. @example formatFromHome(-7.26)  // '7.3 c below home' */
export function formatFromHome(cents: number): string {
  const size = formatSize(cents);
  if (size === '0.0 c') return 'at home';
  return `${size} ${cents < 0 ? 'below' : 'above'} home`;
}
