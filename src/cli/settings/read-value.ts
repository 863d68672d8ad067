import { fail, type Outcome, succeed } from '../../core/outcome.js';
import {
  type HomeScale,
  type Kind,
  type NumberRange,
  toPrimes,
  toWords,
  type ValueOf,
} from '../../core/settings/index.js';
import { parseA4, parseHomeList, parseNoteName, parseTonic } from '../../core/theory/index.js';
import { findNearest } from '../../core/words/index.js';
import { formatList, formatRange, formatValue } from './format.js';

/** The source of a value: an option is always text, a settings file has types. */
export type Source = 'option' | 'file';

/** Longest name or path in a setting. */
const MAX_TEXT = 1000;

/**
 * Reads the value of a setting. Fails with a code that begins with `VALUE_`, or with that of the text's own parser.
 * @example readValue(SETTINGS.tuning.leeway, '4.5', 'option')   // { ok: true, value: 4.5 }
 * @example readValue(SETTINGS.tuning.held, 'folow', 'file').ok  // false: 'Did you mean follow?'
 */
export function readValue<K extends Kind>(kind: K, input: unknown, source: Source): Outcome<ValueOf<K>> {
  // The reader of each kind.
  return read(kind, input, source) as Outcome<ValueOf<K>>;
}

function read(kind: Kind, input: unknown, source: Source): Outcome<unknown> {
  switch (kind.kind) {
    case 'number':
      return readNumber(kind, input, source);
    case 'key':
      return typeof input === 'string' ? readKeyName(kind, input) : readNumber(kind, input, source);
    case 'pitch':
      return parseA4(
        typeof input === 'number' || typeof input === 'string' ? String(input) : formatValue(input),
      );
    case 'word':
      return readWord(toWords(kind), input);
    case 'prime':
      return readPrime(toPrimes(kind), input);
    case 'scale':
      return readScale(Object.keys(kind.names), input);
    case 'tonic':
      return parseTonic(typeof input === 'string' ? input : formatValue(input));
    case 'switch':
      return readSwitch(input);
    case 'text':
      return readText(kind.what, input);
    case 'label':
      return readText('a word, a name or a number', typeof input === 'number' ? String(input) : input);
    case 'names':
      return readList(input, 'names of ports, such as ["Upper", "Lower"]', false, (one) =>
        readText('the name of a port', one),
      );
    case 'channels':
      return readList(input, 'channels, such as [1, 2, 3]', kind.mayBeEmpty === true, (one) =>
        readNumber(kind, one, source),
      );
  }
}

function readNumber(range: NumberRange, input: unknown, source: Source): Outcome<number> {
  const plain =
    source === 'option' && typeof input === 'string' && /^[+-]?(\d+\.?\d*|\.\d+)$/.test(input.trim());
  const value = typeof input === 'number' ? input : plain ? Number(input) : Number.NaN;
  const isWhole = range.whole !== true || Number.isInteger(value);
  if (isWhole && value >= range.least && value <= range.most)
    return succeed(range.fromOne === true ? value - 1 : value);
  const isNumber = !Number.isNaN(value);
  const unit = source === 'file' && typeof input !== 'number' ? 'quotes or unit' : 'its unit';
  return fail({
    code: isNumber ? 'VALUE_RANGE' : 'VALUE_NOT_NUMBER',
    message: `expected ${formatRange(range)}, found ${formatValue(input)}`,
    advice: isNumber ? 'Choose one within these bounds.' : `Write the number alone, without ${unit}.`,
  });
}

function readKeyName({ least, most }: NumberRange, input: string): Outcome<number> {
  const name = /^[A-G](#|b|♯|♭)?-?\d$/.test(input) ? parseNoteName(input, { fifths: 0 }) : undefined;
  const key = name?.ok ? name.value.key : undefined;
  if (key !== undefined && key >= least && key <= most) return succeed(key);
  return fail({
    code: 'VALUE_KEY',
    message: `expected a key from C-1 (0) to G9 (127), found ${formatValue(input)}`,
    advice:
      'Write its name with the octave in quotes, such as "A0" (middle C is "C4"), or its number without quotes.',
  });
}

function readWord(words: readonly string[], input: unknown): Outcome<string> {
  const word = words.find((one) => one === input);
  if (word !== undefined) return succeed(word);
  return unknown(formatList(words), input, words, 'Choose one of these.');
}

function readPrime(primes: readonly number[], input: unknown): Outcome<number> {
  const prime = primes.find((one) => one === input || String(one) === input);
  if (prime !== undefined) return succeed(prime);
  const advice = 'It is the highest prime number a ratio may contain; 5 is usual.';
  return unknown(formatList(primes), input, [], advice);
}

/** A bare number in a list is cents, whole or not: a ratio is text there. */
function readScale(names: readonly string[], input: unknown): Outcome<HomeScale> {
  const kind = names.find((one) => one === input);
  if (kind !== undefined) return succeed({ kind } as HomeScale);
  const steps = Array.isArray(input) ? readSteps(input) : succeed(input);
  if (!steps.ok) return steps;
  if (Array.isArray(steps.value) || (typeof steps.value === 'string' && /\d/.test(steps.value))) {
    const list = parseHomeList(steps.value);
    return list.ok ? succeed({ kind: 'list', list: list.value }) : list;
  }
  const advice = 'Steps are ratios such as 5/4 or cents such as 386.3, parted by spaces or commas.';
  return unknown(`${names.join(', ')} or twelve steps`, input, names, advice);
}

function readSteps(input: readonly unknown[]): Outcome<readonly string[]> {
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
  return succeed(steps);
}

function readSwitch(input: unknown): Outcome<boolean> {
  if (typeof input === 'boolean') return succeed(input);
  return unknown('true or false', input, [], 'Write true or false, without quotes.');
}

/** A name or a path: text on one line that isn't blank. */
function readText(what: string, input: unknown): Outcome<string> {
  if (typeof input === 'string' && /\S/.test(input) && !/\p{Cc}/u.test(input) && input.length <= MAX_TEXT)
    return succeed(input);
  return fail({
    code: 'VALUE_TEXT',
    message: `expected ${what}, found ${formatValue(input)}`,
    advice: 'Write it in quotes.',
  });
}

/** A list without duplicates. */
function readList<T>(
  input: unknown,
  what: string,
  mayBeEmpty: boolean,
  readOne: (input: unknown) => Outcome<T>,
): Outcome<readonly T[]> {
  if (!Array.isArray(input) || (input.length === 0 && !mayBeEmpty)) {
    return fail({
      code: 'VALUE_LIST',
      message: `expected a list of ${what}, found ${formatValue(input)}`,
      advice: 'Write the list in brackets, with commas between.',
    });
  }
  const values: T[] = [];
  for (const element of input) {
    const outcome = readOne(element);
    if (!outcome.ok) return outcome;
    if (values.includes(outcome.value)) {
      return fail({
        code: 'VALUE_TWICE',
        message: `${formatValue(element)} is in the list twice`,
        advice: 'Name each once.',
      });
    }
    values.push(outcome.value);
  }
  return succeed(Object.freeze(values));
}

/** An unknown value. @param words the allowed ones */
function unknown<T>(expected: string, input: unknown, words: readonly string[], advice: string): Outcome<T> {
  const nearest = typeof input === 'string' ? findNearest(input, words) : undefined;
  return fail({
    code: 'VALUE_UNKNOWN',
    message: `expected ${expected}, found ${formatValue(input)}`,
    advice: nearest === undefined ? advice : `Did you mean ${nearest}?`,
  });
}
