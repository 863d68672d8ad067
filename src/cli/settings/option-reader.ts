import { toLeewayError } from '../../app/problem-error.js';
import type { Kind, ValueOf } from '../../core/settings/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import type { CommandOption, ValueOfOption } from './command-options.js';
import { readValue } from './read-value.js';

/** Options as commander gives them: by name, undefined if missing. */
export type RawOptions = Readonly<Record<string, unknown>>;

/**
 * Reads options one by one, and gathers their mistakes, so that all can be reported at once.
 *
 * @example
 * const reader = new OptionReader({ passes: 'many' });
 * reader.take(OPTIONS.passes)  // 4
 * reader.mistakes[0].code      // 'VALUE_NOT_NUMBER': said of --passes
 */
export class OptionReader {
  readonly mistakes: LeewayError[];
  readonly #options: RawOptions;

  /**
   * @param mistakes receives the mistakes, after its present ones
   */
  constructor(options: RawOptions, mistakes: LeewayError[] = []) {
    this.#options = options;
    this.mistakes = mistakes;
  }

  /** The value of an option; its default if it is missing or wrong. */
  take<O extends CommandOption>(option: O): ValueOfOption<O> {
    const value = this.value(toFlag(option.flags), option) ?? option.default;
    return value as ValueOfOption<O>;
  }

  /** The value of a setting given as an option; undefined if it is missing or wrong. @param flag as people type it */
  value<K extends Kind>(flag: string, kind: K): ValueOf<K> | undefined {
    const value = this.#options[toCamelCase(flag.slice(2))];
    return value === undefined ? undefined : this.#read(flag, kind, value);
  }

  /** The values of a repeatable option, without wrong ones. */
  many<K extends Kind>(flag: string, kind: K): ValueOf<K>[] {
    const values = (this.#options[toCamelCase(flag.slice(2))] ?? []) as readonly unknown[];
    return values.map((value) => this.#read(flag, kind, value)).filter((value) => value !== undefined);
  }

  /** Undefined if the value is wrong. */
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
