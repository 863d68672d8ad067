import type { NumberRange } from '../../core/settings/index.js';

/** @example formatRange(SETTINGS.tuning.leeway)  // 'a number from 0 to 600 (cents)' */
export function formatRange({ least, most, unit, whole }: NumberRange): string {
  return `a ${whole ? 'whole ' : ''}number from ${least} to ${most} (${unit})`;
}

/** @example formatList(['free', 'pull', 'anchored'])  // 'free, pull or anchored' */
export function formatList(words: readonly (string | number)[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}

/** A value as in the input, cut if it is long. @example formatValue('x')  // '"x"' */
export function formatValue(value: unknown): string {
  const text =
    typeof value === 'string' ? `"${value}"` : typeof value === 'object' ? toJson(value) : String(value);
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

function toJson(value: unknown): string {
  return JSON.stringify(value, (_, inner) => (typeof inner === 'bigint' ? String(inner) : inner));
}
