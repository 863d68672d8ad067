import { fail, type Outcome, succeed } from '../core/outcome.js';
import { parseNoteName } from '../core/theory/index.js';
import { RANGES } from './ranges.js';
import { formatValue, type Reader, readBareNumber } from './read-values.js';

/** Longest name or path a setting takes. */
const MAX_TEXT = 1000;

/**
 * Reads a name or a path: text that isn't blank and stands on one line.
 * @param what it is, as in `expected the name of a port`
 */
export function readText(what: string): Reader<string> {
  return (input) => {
    if (typeof input === 'string' && /\S/.test(input) && !/\p{Cc}/u.test(input) && input.length <= MAX_TEXT)
      return succeed(input);
    return fail({
      code: 'VALUE_TEXT',
      message: `expected ${what}, found ${formatValue(input)}`,
      advice: 'Write it in quotes.',
    });
  };
}

/** Reads the name of a port. */
export const readPort = readText('the name of a port');

/** Reads the names of ports as a list, each once. */
export function readPorts(input: unknown): Outcome<readonly string[]> {
  return readList(input, readPort, 'names of ports, such as ["Upper", "Lower"]');
}

/** Reads yes or no. */
export function readSwitch(input: unknown): Outcome<boolean> {
  if (typeof input === 'boolean') return succeed(input);
  return fail({
    code: 'VALUE_UNKNOWN',
    message: `expected true or false, found ${formatValue(input)}`,
    advice: 'Write true or false, without quotes.',
  });
}

/** Reads a channel as people count them, 1 to 16. @example readChannel(16)  // value 15 */
export function readChannel(input: unknown): Outcome<number> {
  return shift(readBareNumber(RANGES.channel)(input));
}

/** Reads a program as people count them, 1 to 128. @example readProgram(1)  // value 0 */
export function readProgram(input: unknown): Outcome<number> {
  return shift(readBareNumber(RANGES.program)(input));
}

/** Reads a list of channels, each once. @param mayBeEmpty whether none is an answer too */
export function readChannels(mayBeEmpty: boolean): Reader<readonly number[]> {
  return (input) => readList(input, readChannel, 'channels, such as [1, 2, 3]', mayBeEmpty);
}

/** Reads a key by its number, or by its name with the octave; middle C is C4. @example readKey('C4')  // value 60 */
export function readKey(input: unknown): Outcome<number> {
  if (typeof input !== 'string') return readBareNumber(RANGES.key)(input);
  const name = /^[A-G](#|b|♯|♭)?-?\d$/.test(input) ? parseNoteName(input, { fifths: 0 }) : undefined;
  const key = name?.ok ? name.value.key : undefined;
  if (key !== undefined && key >= RANGES.key.least && key <= RANGES.key.most) return succeed(key);
  return fail({
    code: 'VALUE_KEY',
    message: `expected a key from C-1 (0) to G9 (127), found ${formatValue(input)}`,
    advice:
      'Write its name with the octave in quotes, such as "A0" (middle C is "C4"), or its number without quotes.',
  });
}

function shift(outcome: Outcome<number>): Outcome<number> {
  return outcome.ok ? succeed(outcome.value - 1) : outcome;
}

function readList<T>(
  input: unknown,
  read: Reader<T>,
  what: string,
  mayBeEmpty = false,
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
    const outcome = read(element);
    if (!outcome.ok) return outcome;
    if (values.includes(outcome.value)) {
      return fail({
        code: 'VALUE_TWICE',
        message: `${formatValue(element)} stands in the list twice`,
        advice: 'Name each once.',
      });
    }
    values.push(outcome.value);
  }
  return succeed(Object.freeze(values));
}
