import { ratio } from './ratio.js';
import type { PrimeVector } from './vector.js';

/** A ratio that has a name of its own in the trade. The ratio is never less than 1/1. */
export interface NamedRatio {
  readonly ratio: PrimeVector;
  /** Without article: "just major third". */
  readonly name: string;
}

/**
 * A frozen table from rows of ratio literal and name.
 * @example toNamedRatios([['3/2', 'just fifth']])  // [{ ratio: [-1, 1, 0, 0, 0, 0], name: 'just fifth' }]
 */
export function toNamedRatios(rows: readonly (readonly [string, string])[]): readonly NamedRatio[] {
  return Object.freeze(rows.map(([literal, name]) => Object.freeze({ ratio: ratio(literal), name })));
}
