import type { BuiltInHomeKind, HomeList, Tonic } from '../theory/index.js';

/** A choice of words, each with its meaning; empty where the word says it. */
export type Words = Readonly<Record<string, string>>;

/** A number from `least` to `most`, both included. */
export interface NumberRange {
  readonly least: number;
  readonly most: number;
  /** What the number counts, in the plural. */
  readonly unit: string;
  readonly whole?: true;
  /** It identifies one of many, such as a channel, and isn't an amount: its unit is left out. */
  readonly isLabel?: true;
  /** People count from 1, the code from 0: the value is one less than what is written. */
  readonly fromOne?: true;
  /** The meaning of the least one. */
  readonly leastMeans?: string;
}

/** The possible kinds of values. */
export type Kind =
  | ({ readonly kind: 'number' } & NumberRange)
  /** The pitch of A. */
  | ({ readonly kind: 'pitch' } & NumberRange)
  /** A MIDI key, by its number or its name. */
  | ({ readonly kind: 'key' } & NumberRange)
  | { readonly kind: 'word'; readonly words: Words }
  /** A number out of a few. */
  | { readonly kind: 'prime'; readonly words: Words }
  /** A scale, by its name or as twelve steps; `names` are the full names. */
  | { readonly kind: 'scale'; readonly names: Readonly<Record<BuiltInHomeKind, string>> }
  | { readonly kind: 'tonic' }
  | { readonly kind: 'switch' }
  /** `what` it is, as in `expected the name of a port`; `short`, where there is little room. */
  | { readonly kind: 'text'; readonly what: string; readonly short: string }
  /** A word, a name or a number, by what it is for. */
  | { readonly kind: 'label' }
  | { readonly kind: 'names' }
  /** MIDI channels; the value counts from 0. */
  | ({ readonly kind: 'channels'; readonly mayBeEmpty?: true } & NumberRange);

/** A home scale without its tonic, which is a separate setting. */
export type HomeScale =
  | { readonly kind: BuiltInHomeKind }
  | { readonly kind: 'list'; readonly list: HomeList };

interface ValueOfKind {
  number: number;
  pitch: number;
  key: number;
  scale: HomeScale;
  tonic: Tonic;
  switch: boolean;
  text: string;
  label: string;
  names: readonly string[];
  channels: readonly number[];
}

/** The type of a setting's value. @example the value of a switch is a boolean */
export type ValueOf<S> = S extends { kind: 'word' | 'prime'; words: infer W }
  ? keyof W
  : S extends { kind: infer K extends keyof ValueOfKind }
    ? ValueOfKind[K]
    : never;

/**
 * A number of units, from `least` to `most`.
 *
 * @param least included, as is `most`; `most` is no less
 * @example amount(0, 600, 'cents').most  // 600
 */
export function amount<U extends string>(least: number, most: number, unit: U) {
  return { kind: 'number', least, most, unit } as const;
}

/** As {@link amount}, of whole numbers. Both ends are included. */
export function whole<U extends string>(least: number, most: number, unit: U) {
  return { ...amount(least, most, unit), whole: true } as const;
}

/** The choices of a setting, in the order they are listed. @example toWords({ words: { a: '', b: '' } })  // ['a', 'b'] */
export function toWords<W extends Words>({ words }: { readonly words: W }): (keyof W & string)[] {
  return Object.keys(words);
}

/** The primes of a limit, from the least up. @example toPrimes({ words: { 3: '', 5: '' } })  // [3, 5] */
export function toPrimes<W extends Words>({ words }: { readonly words: W }): (keyof W & number)[] {
  return Object.keys(words).map(Number) as (keyof W & number)[];
}
