import { PRIME_DEVIATION_CENTS, type PrimeVector } from '../theory/index.js';

/** From the chain of pure fifths down to 5/4, in cents. */
const SYNTONIC_CENTS = 4 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[2];
/** By how many syntonic commas 7, 11 and 13 lie below the chain of pure fifths: 1.27, 2.81, -2.25. */
const SEVEN = (-2 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[3]) / SYNTONIC_CENTS;
const ELEVEN = (6 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[4]) / SYNTONIC_CENTS;
const THIRTEEN = (-4 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[5]) / SYNTONIC_CENTS;

/**
 * How many syntonic commas a point lies below the chain of pure fifths; where it has primes above 5, the whole number
 * nearest to it.
 *
 * @example toCommas([0, 0, 1, 0, 0, 0])  // 1: 5/4
 * @example toCommas([0, 2, 0, -1, 0, 0]) // -1: 9/7 is a major third 27 cents above 5/4's place on the chain, 81/64
 */
export function toCommas([, , five, seven, eleven, thirteen]: PrimeVector): number {
  if (seven === 0 && eleven === 0 && thirteen === 0) return five;
  return five + Math.round(SEVEN * seven + ELEVEN * eleven + THIRTEEN * thirteen);
}
