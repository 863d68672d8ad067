import { toLeewayError } from '../../app/problem-error.js';
import type { Kind, ValueOf } from '../../core/settings/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import type { CommandOption, ValueOfOption } from './command-options.js';
import { readValue } from './read-value.js';

/** Options of a command as commander gives them: by name, each undefined if it wasn't given. */
export type RawOptions = Readonly<Record<string, unknown>>;

/**
 * Reads options one by one, and gathers what is wrong with them, so that all of it can be told at once.
 *
 * @example
 * const reader = new OptionReader({ passes: 'many' });
 * reader.take(OPTIONS.passes)  // 4
 * reader.mistakes[0].code      // 'VALUE_NOT_NUMBER': said of --passes
 */
export class OptionReader {
  readonly mistakes: LeewayError[];
  readonly #options: RawOptions;

  /** @param mistakes what is wrong goes here, behind what is there */
  constructor(options: RawOptions, mistakes: LeewayError[] = []) {
    this.#options = options;
    this.mistakes = mistakes;
  }

  /** The value of an option; its default where it isn't given, or is wrong. */
  take<O extends CommandOption>(option: O): ValueOfOption<O> {
    const value = this.value(toFlag(option.flags), option) ?? option.default;
    return value as ValueOfOption<O>;
  }

  /** The value of a setting given as an option; undefined where it isn't given, or is wrong. @param flag as people type it */
  value<K extends Kind>(flag: string, kind: K): ValueOf<K> | undefined {
    const value = this.#options[toCamelCase(flag.slice(2))];
    return value === undefined ? undefined : this.#read(flag, kind, value);
  }

  /** The values of an option that may be given several times, without those that are wrong. */
  many<K extends Kind>(flag: string, kind: K): ValueOf<K>[] {
    const values = (this.#options[toCamelCase(flag.slice(2))] ?? []) as readonly unknown[];
    return values.map((value) => this.#read(flag, kind, value)).filter((value) => value !== undefined);
  }

  /** Undefined where the value is wrong. */
  #read<K extends Kind>(flag: string, kind: K, value: unknown): ValueOf<K> | undefined {
    const outcome = readValue(kind, value, 'option');
    if (outcome.ok) return outcome.value;
    this.mistakes.push(toLeewayError(outcome.problem, flag));
    return undefined;
  }
}

/** @example toFlag('--jobs <number>')  // '--jobs' */
export function toFlag(flags: string): string {
  return flags.split(' ')[0];
}

/** The name commander gives an option's value. bend-range is bendRange. */
function toCamelCase(flag: string): string {
  return flag.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
}
