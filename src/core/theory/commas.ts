import { type NamedRatio, toNamedRatios } from './ratio.js';
import { invert, type PrimeVector } from './vector.js';

/**
 * Commas, dieses and small semitones that have a name, by size. Names as in the handbooks (Helmholtz in Ellis'
 * translation, 1885; Barbour, Tuning and Temperament, 1951); one that has no traditional name is called by its ratio,
 * "comma 126/125".
 *
 * Those that span no key of the keyboard (`toKeys` 0) are the possible moves of a returning key class; the others
 * ("undecimal comma" 33/32, the semitones) lead to the neighbouring key.
 */
export const COMMAS: readonly NamedRatio[] = toNamedRatios([
  ['32805/32768', 'schisma'],
  ['2^-84·3^53', "Mercator's comma"],
  ['352/351', 'comma 352/351'],
  ['225/224', 'septimal kleisma'],
  ['15625/15552', 'kleisma'],
  ['2109375/2097152', 'semicomma'],
  ['393216/390625', "Würschmidt's comma"],
  ['126/125', 'comma 126/125'],
  ['245/243', 'comma 245/243'],
  ['99/98', 'comma 99/98'],
  ['2048/2025', 'diaschisma'],
  ['81/80', 'syntonic comma'],
  ['531441/524288', 'Pythagorean comma'],
  ['65/64', 'comma 65/64'],
  ['64/63', 'septimal comma'],
  ['3125/3072', 'small diesis'],
  ['56/55', 'comma 56/55'],
  ['55/54', 'comma 55/54'],
  ['50/49', 'tritonic diesis'],
  ['49/48', 'septimal diesis'],
  ['45/44', 'undecimal fifth-tone'],
  ['128/125', 'lesser diesis'],
  ['40/39', 'tridecimal diesis'],
  ['36/35', 'septimal quarter tone'],
  ['250/243', 'maximal diesis'],
  ['16875/16384', 'double augmentation diesis'],
  ['33/32', 'undecimal comma'],
  ['648/625', 'greater diesis'],
  ['28/27', 'septimal third-tone'],
  ['27/26', 'tridecimal comma'],
  ['25/24', 'small chromatic semitone'],
  ['22/21', 'undecimal minor semitone'],
  ['256/243', 'Pythagorean limma'],
  ['135/128', 'large chromatic semitone'],
  ['2187/2048', 'apotome'],
  ['27/25', 'large limma'],
]);

const byRatio = new Map<string, NamedRatio>(COMMAS.map((comma) => [comma.ratio.join(' '), comma]));

/** A named comma and how often it is taken: never 0, negative for downward. */
export interface CommaPart {
  readonly comma: NamedRatio;
  readonly count: number;
}

/**
 * The name of a small interval in either direction, or undefined if it has none. Octaves count. Exact: no tolerance.
 *
 * @example commaName([4, -4, 1, 0, 0, 0])  // 'syntonic comma': 80/81
 */
export function commaName(v: PrimeVector): string | undefined {
  return (findComma(v) ?? findComma(invert(v)))?.name;
}

/** The comma that is exactly `v`, upward. */
export function findComma(v: PrimeVector): NamedRatio | undefined {
  return byRatio.get(v.join(' '));
}
