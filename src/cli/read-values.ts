import { fail, type Outcome, succeed } from '../core/outcome.js';
import {
  type BuiltInHomeKind,
  type HomeList,
  type PrimeLimit,
  parseA4,
  parseHomeList,
  parseTonic,
  type Tonic,
} from '../core/theory/index.js';
import { findNearest } from './nearest.js';
import { formatRange, type NumberRange } from './ranges.js';

/** Values are read from text on the command line, and from typed values in a settings file. */
export type Reader<T> = (input: unknown) => Outcome<T>;

/** The prime limits, as numbers and as people type them. */
const LIMITS: readonly PrimeLimit[] = [3, 5, 7, 11, 13];

/** Home scales that have a name. */
export const HOME_KINDS: readonly BuiltInHomeKind[] = ['equal', 'just', 'meantone', 'pythagorean'];

/** A home scale without its tonic, which is given apart. */
export type HomeWish =
  | { readonly kind: BuiltInHomeKind }
  | { readonly kind: 'list'; readonly list: HomeList };

/**
 * Reads one of a few words.
 * @example readWord(['follow', 'stay'])('folow')  // problem VALUE_UNKNOWN: 'expected follow or stay', 'Did you mean follow?'
 */
export function readWord<T extends string>(words: readonly T[]): Reader<T> {
  return (input) => {
    const word = words.find((one) => one === input);
    if (word !== undefined) return succeed(word);
    const nearest = typeof input === 'string' ? findNearest(input, words) : undefined;
    return fail({
      code: 'VALUE_UNKNOWN',
      message: `expected ${formatList(words)}, found ${formatValue(input)}`,
      advice: nearest === undefined ? 'Choose one of these.' : `Did you mean ${nearest}?`,
    });
  };
}

/** Reads a number within its range, from text or from a number. */
export function readNumber(range: NumberRange): Reader<number> {
  return (input) => {
    const plain = typeof input === 'string' && /^[+-]?(\d+\.?\d*|\.\d+)$/.test(input.trim());
    const value = typeof input === 'number' ? input : plain ? Number(input) : Number.NaN;
    const whole = !range.whole || Number.isInteger(value);
    if (whole && value >= range.least && value <= range.most) return succeed(value);
    return fail({
      code: Number.isNaN(value) ? 'VALUE_NOT_NUMBER' : 'VALUE_RANGE',
      message: `expected ${formatRange(range)}, found ${formatValue(input)}`,
      advice: Number.isNaN(value)
        ? 'Write the number alone, without its unit.'
        : 'Choose one within these bounds.',
    });
  };
}

/** As {@link readNumber}, for a settings file, where a number in quotes is a mistake. */
export function readBareNumber(range: NumberRange): Reader<number> {
  const read = readNumber(range);
  return (input) => {
    if (typeof input === 'number') return read(input);
    return fail({
      code: 'VALUE_NOT_NUMBER',
      message: `expected ${formatRange(range)}, found ${formatValue(input)}`,
      advice: 'Write the number alone, without quotes or unit.',
    });
  };
}

/** Reads a prime limit: 3, 5, 7, 11 or 13, from text or from a number. */
export function readLimit(input: unknown): Outcome<PrimeLimit> {
  const limit = LIMITS.find((one) => one === input || String(one) === input);
  if (limit !== undefined) return succeed(limit);
  return fail({
    code: 'VALUE_UNKNOWN',
    message: `expected ${formatList(LIMITS)}, found ${formatValue(input)}`,
    advice: 'It is the highest prime number a ratio may contain; 5 is usual.',
  });
}

/** Reads the name of a tonic. */
export function readTonic(input: unknown): Outcome<Tonic> {
  return parseTonic(typeof input === 'string' ? input : formatValue(input));
}

/** Reads the pitch of a' in hertz, from text or from a number. */
export function readA4(input: unknown): Outcome<number> {
  return parseA4(typeof input === 'number' || typeof input === 'string' ? String(input) : formatValue(input));
}

/**
 * Reads a home scale: one of the names, or twelve steps as one text or as a list. A bare number in a list is cents,
 * whole or not: a ratio is text there.
 */
export function readHome(input: unknown): Outcome<HomeWish> {
  if (Array.isArray(input)) return readSteps(input);
  const kind = HOME_KINDS.find((one) => one === input);
  if (kind !== undefined) return succeed({ kind });
  if (typeof input === 'string' && /\d/.test(input)) return toListWish(parseHomeList(input));
  const nearest = typeof input === 'string' ? findNearest(input, HOME_KINDS) : undefined;
  return fail({
    code: 'VALUE_UNKNOWN',
    message: `expected ${HOME_KINDS.join(', ')} or twelve steps, found ${formatValue(input)}`,
    advice:
      nearest === undefined
        ? 'Steps are ratios such as 5/4 or cents such as 386.3, parted by spaces or commas.'
        : `Did you mean ${nearest}?`,
  });
}

function readSteps(input: readonly unknown[]): Outcome<HomeWish> {
  const steps: string[] = [];
  for (const [i, step] of input.entries()) {
    if (typeof step === 'number' && step >= 0) steps.push(`${Number(step.toFixed(9))}c`);
    else if (typeof step === 'string') steps.push(step);
    else
      return fail({
        code: 'HOME_LIST_STEP',
        message: `step ${i + 1}, ${formatValue(step)}, is neither a ratio nor cents`,
        advice: 'Write ratios in quotes, such as "5/4", and cents as numbers, such as 386.3.',
      });
  }
  return toListWish(parseHomeList(steps));
}

function toListWish(list: Outcome<HomeList>): Outcome<HomeWish> {
  return list.ok ? succeed({ kind: 'list', list: list.value }) : list;
}

/** @example formatList(['free', 'pull', 'anchored'])  // 'free, pull or anchored' */
export function formatList(words: readonly (string | number)[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}

/** A value as it stood in the input, cut where it gets long. @example formatValue('x')  // '"x"' */
export function formatValue(value: unknown): string {
  const text =
    typeof value === 'string' ? `"${value}"` : typeof value === 'object' ? toJson(value) : String(value);
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

function toJson(value: unknown): string {
  return JSON.stringify(value, (_, inner) => (typeof inner === 'bigint' ? String(inner) : inner));
}
