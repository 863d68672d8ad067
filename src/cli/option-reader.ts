import { toLeewayError } from '../app/problem-error.js';
import type { LeewayError } from '../io/leeway-error.js';
import type { Reader } from './read-values.js';

/** Options of a command as commander gives them: by name, each undefined if it wasn't given. */
export type RawOptions = Readonly<Record<string, unknown>>;

/**
 * Reads options one by one, and gathers what is wrong with them, so that all of it can be told at once.
 *
 * @example
 * const reader = new OptionReader({ passes: 'many' });
 * reader.take('--passes', readNumber(RANGES.passes), 4)  // 4
 * reader.mistakes[0].code                                // 'VALUE_NOT_NUMBER', said of --passes
 */
export class OptionReader {
  readonly mistakes: LeewayError[];
  readonly #options: RawOptions;

  /** @param mistakes what is wrong goes here, behind what is there */
  constructor(options: RawOptions, mistakes: LeewayError[] = []) {
    this.#options = options;
    this.mistakes = mistakes;
  }

  /** The values of an option that may be given several times, without those that are wrong. */
  many<T>(flag: string, read: Reader<T>): T[] {
    const values = (this.#options[toCamelCase(flag.slice(2))] ?? []) as readonly unknown[];
    return values.map((value) => this.#read(flag, read, value)).filter((value) => value !== undefined);
  }

  /** The value of an option; its stock value where it isn't given, or is wrong. @param flag as people type it */
  take<T, S>(flag: string, read: Reader<T>, stock: S): T | S {
    const value = this.#options[toCamelCase(flag.slice(2))];
    return value === undefined ? stock : (this.#read(flag, read, value) ?? stock);
  }

  /** Undefined where the value is wrong. */
  #read<T>(flag: string, read: Reader<T>, value: unknown): T | undefined {
    const outcome = read(value);
    if (outcome.ok) return outcome.value;
    this.mistakes.push(toLeewayError(outcome.problem, flag));
    return undefined;
  }
}

/** The name commander gives an option's value. @example toCamelCase('bend-range')  // 'bendRange' */
function toCamelCase(flag: string): string {
  return flag.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
}
