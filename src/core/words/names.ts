import { noteName, type PrimeVector, withKeys } from '../theory/index.js';
import type { Tuner } from '../tuner/index.js';

/**
 * A lattice point's name with the octave of the key that sounds it.
 * @example namePoint({ settings: DEFAULT_SETTINGS }, UNISON, 60)  // 'C4⁰'
 */
export function namePoint({ settings }: Pick<Tuner, 'settings'>, point: PrimeVector, key: number): string {
  return noteName(point, settings.home.tonic, { key });
}

/** Letter and accidental of a note name. @example toLetter('B♭4⁻¹')  // 'B♭' */
export function toLetter(name: string): string {
  return /^[A-G](?:[♯♭]+|\(\d+[♯♭]\))?/.exec(name)?.[0] ?? name;
}

/**
 * A note's ratio to the tonic of home with its octaves left out, in the octave where it spans 0 to 11 keys. A tonic
 * that has drifted stays near 1/1, at 80/81.
 *
 * @example toHomeRatio({ originKey: 60 }, ratio('5/2'), 76)  // [-2, 0, 1, 0, 0, 0]: 5/4
 */
export function toHomeRatio(
  { originKey }: Pick<Tuner, 'originKey'>,
  point: PrimeVector,
  key: number,
): PrimeVector {
  return withKeys(point, (((key - originKey) % 12) + 12) % 12);
}
