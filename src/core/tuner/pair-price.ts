import { type PrimeVector, toFifths } from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { toCommaPrice } from './comma-prices.js';
import { toCommas } from './commas.js';
import { HELD } from './surroundings.js';

/**
 * What two points cost that are struck together: their shades, and an impure consonance.
 * @example toPairPrice(chooser, FIFTH, UNISON)  // 0: a just fifth is free
 */
export function toPairPrice({ pairCost, prices }: Chooser, a: PrimeVector, b: PrimeVector): number {
  const price = toCommaPrice(prices.sounding, toFifths(a) - toFifths(b), toCommas(a) - toCommas(b));
  return price + HELD * pairCost.impurityOf(a, b);
}
