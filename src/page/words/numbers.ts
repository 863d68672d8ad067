export { formatCents, formatSigned } from '../../core/theory/index.js';

/** A length in cents, which has no sign: whole from 10 up. @example formatSize(-42.98)  // '43 c' */
export function formatSize(cents: number): string {
  const size = Math.abs(cents);
  return `${size < 9.95 ? size.toFixed(1).replace('.0', '') : size.toFixed(0)} c`;
}

const NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** A number of things, small numbers in words. @example count(2, 'pass', 'passes')  // 'two passes' */
export function count(number: number, thing: string, things = `${thing}s`): string {
  return `${NUMBERS[number] ?? number} ${number === 1 ? thing : things}`;
}

/** A sentence begins with a capital. @example capital('free is at home.')  // 'Free is at home.' */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A time since the session began, for tables. @example formatClock(75_250)  // '1:15.3' */
export function formatClock(ms: number): string {
  const tenths = Math.round(ms / 100);
  const minutes = Math.floor(tenths / 600);
  return `${minutes}:${((tenths % 600) / 10).toFixed(1).padStart(4, '0')}`;
}
