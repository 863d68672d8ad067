/**
 * An exact pitch ratio: the exponents of the primes 2 3 5 7 11 13, in that order. Exact at any size: ten thousand
 * commas are still six small integers.
 *
 * @example
 * const syntonicComma: PrimeVector = [-4, 4, -1, 0, 0, 0];
 * toCents(syntonicComma)  // 21.5063: 81/80
 */
export type PrimeVector = readonly [number, number, number, number, number, number];

/** The primes a vector counts, in the order of its exponents. */
export const PRIMES = [2, 3, 5, 7, 11, 13] as const;

/** The prime limits a user can choose. `limit` n allows every prime up to n. */
export type PrimeLimit = 3 | 5 | 7 | 11 | 13;

/** 1/1. */
export const UNISON: PrimeVector = Object.freeze([0, 0, 0, 0, 0, 0] as const);

/**
 * A vector as a power of one that is no power itself; 1/1 is 1/1 to the power 0.
 * @example toRoot([8, -8, 2, 0, 0, 0])  // { root: [4, -4, 1, 0, 0, 0], times: 2 }
 */
export function toRoot(v: PrimeVector): { readonly root: PrimeVector; readonly times: number } {
  const times = v.reduce(greatestDivisor, 0);
  if (times === 0) return { root: UNISON, times };
  const [two, three, five, seven, eleven, thirteen] = v.map((exponent) => exponent / times);
  return { root: [two, three, five, seven, eleven, thirteen], times };
}

function greatestDivisor(a: number, b: number): number {
  return b === 0 ? Math.abs(a) : greatestDivisor(b, a % b);
}

/** Size of each prime in cents: 1200·log2(p). */
export const PRIME_CENTS: readonly number[] = PRIMES.map((prime) => 1200 * Math.log2(prime));

/**
 * Size of each prime in keys of a twelve-key keyboard. 3 is 19 keys (an octave and a fifth), 5 is 28,
 * 7 is 34 (rounded up: the harmonic seventh is on the minor seventh's key), 11 is 42 and 13 is 44.
 */
export const PRIME_KEYS: readonly number[] = [12, 19, 28, 34, 42, 44];

/** How far each prime's pure size is from its keys in 12 equal, in cents: 3 is +1.955, 5 is -13.686. */
export const PRIME_DEVIATION_CENTS: readonly number[] = PRIME_CENTS.map((c, i) => c - 100 * PRIME_KEYS[i]);

/** log2 of each prime, the octave's left out: the weights of the harmonic distance. */
const PRIME_HEIGHT: readonly number[] = PRIMES.map((prime, i) => (i === 0 ? 0 : Math.log2(prime)));

/**
 * a · b. Exact while the exponents are below 2⁵³.
 * @example multiply(ratio('3/2'), ratio('5/4'))  // [-3, 1, 1, 0, 0, 0]: 15/8
 */
export function multiply(a: PrimeVector, b: PrimeVector): PrimeVector {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4], a[5] + b[5]];
}

/** a ÷ b. @example divide(ratio('9/8'), ratio('10/9'))  // [-4, 4, -1, 0, 0, 0]: 81/80 */
export function divide(a: PrimeVector, b: PrimeVector): PrimeVector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3], a[4] - b[4], a[5] - b[5]];
}

/**
 * a to the power of an integer.
 *
 * @param n a whole number, below 0 for the inverse
 * @example power(ratio('81/80'), -1)  // [4, -4, 1, 0, 0, 0]: 80/81
 */
export function power(a: PrimeVector, n: number): PrimeVector {
  // `+ 0` keeps -0 out of vectors, so that equal vectors are deeply equal.
  return [a[0] * n + 0, a[1] * n + 0, a[2] * n + 0, a[3] * n + 0, a[4] * n + 0, a[5] * n + 0];
}

/** Whether two vectors are the same ratio, octaves included. Exact: no tolerance. */
export function equal(a: PrimeVector, b: PrimeVector): boolean {
  return a[0] === b[0] && sameClass(a, b);
}

/** Whether two vectors are the same ratio up to octaves. @example sameClass(ratio('3/2'), ratio('3/1'))  // true */
export function sameClass(a: PrimeVector, b: PrimeVector): boolean {
  return a[1] === b[1] && a[2] === b[2] && a[3] === b[3] && a[4] === b[4] && a[5] === b[5];
}

/**
 * Cents of a ratio, computed from the vector in one step. Below 0 for ratios under 1/1. Good to about 1e-12 of the sum
 * of its terms, in floating point.
 *
 * @example toCents(ratio('3/2'))  // 701.9550
 */
export function toCents(v: PrimeVector): number {
  let cents = 0;
  for (let i = 0; i < 6; i++) cents += v[i] * PRIME_CENTS[i];
  return cents;
}

/**
 * Keys a ratio spans on a twelve-key keyboard. A whole number, below 0 for ratios under 1/1. By {@link PRIME_KEYS}.
 * @example toKeys(ratio('5/4'))  // 4
 */
export function toKeys(v: PrimeVector): number {
  return 12 * v[0] + toOddKeys(v);
}

/** The same without octaves: by {@link PRIME_KEYS}, and on the note path. */
function toOddKeys(v: PrimeVector): number {
  return 19 * v[1] + 28 * v[2] + 34 * v[3] + 42 * v[4] + 44 * v[5];
}

/**
 * How far a ratio's pure size is from its keys in 12 equal, in cents. Octaves don't matter. A chain of fifths goes
 * beyond any bound: it grows by 1.955 cents a fifth.
 *
 * @example toDeviationCents(ratio('5/4'))  // -13.6863
 */
export function toDeviationCents(v: PrimeVector): number {
  return (
    v[1] * PRIME_DEVIATION_CENTS[1] +
    v[2] * PRIME_DEVIATION_CENTS[2] +
    v[3] * PRIME_DEVIATION_CENTS[3] +
    v[4] * PRIME_DEVIATION_CENTS[4] +
    v[5] * PRIME_DEVIATION_CENTS[5]
  );
}

/**
 * Harmonic distance of the ratio a ÷ b, octaves left out: log2 of the product of its odd parts.
 * A metric on the lattice, symmetric, 0 only for octaves. After Tenney's harmonic distance with prime 2 dropped.
 * @example
 * harmonicDistance(ratio('3/2'), UNISON)  // 1.58
 * harmonicDistance(ratio('6/5'), UNISON)  // 3.91
 * harmonicDistance(ratio('9/8'), UNISON)  // 3.17
 * harmonicDistance(ratio('10/9'), UNISON)  // 5.49
 */
export function harmonicDistance(a: PrimeVector, b: PrimeVector): number {
  return (
    Math.abs(a[1] - b[1]) * PRIME_HEIGHT[1] +
    Math.abs(a[2] - b[2]) * PRIME_HEIGHT[2] +
    Math.abs(a[3] - b[3]) * PRIME_HEIGHT[3] +
    Math.abs(a[4] - b[4]) * PRIME_HEIGHT[4] +
    Math.abs(a[5] - b[5]) * PRIME_HEIGHT[5]
  );
}

/**
 * Place on the line of fifths: F -1, C 0, G 1, D 2 … It gives letter and accidental, so a G sharp is never an A flat.
 * The major third is 4 fifths up, the harmonic seventh 2 down (a minor seventh), 11/8 6 up (an augmented fourth), 13/8
 * 4 down (a minor sixth). Any whole number. Octaves don't matter.
 *
 * @example toFifths(ratio('5/4'))  // 4
 */
export function toFifths(v: PrimeVector): number {
  return v[1] + 4 * v[2] - 2 * v[3] + 6 * v[4] - 4 * v[5];
}

/**
 * The vector with its octaves chosen so that it spans exactly `keys`.
 *
 * Octaves reach every twelfth key only, so `keys` must fit the key class of the odd part. Not checked, on the note
 * path: for any other whole number the octaves are cut toward 0 and the result misses by up to 11 keys.
 *
 * @param keys a whole number of keys, below 0 for downward
 * @example withKeys([0, 0, 1, 0, 0, 0], 4)  // [-2, 0, 1, 0, 0, 0]: 5/4
 * @example withKeys([0, 0, 1, 0, 0, 0], 5)  // [-1, 0, 1, 0, 0, 0]: 5/2, 16 keys; no octave of 5/4 spans 5
 */
export function withKeys(v: PrimeVector, keys: number): PrimeVector {
  const twos = Math.trunc((keys - toOddKeys(v)) / 12) + 0;
  return [twos, v[1], v[2], v[3], v[4], v[5]];
}

/** 1 ÷ v, without any -0. @example invert([-1, 1, 0, 0, 0, 0]) // [1, -1, 0, 0, 0, 0]: 2/3 */
export function invert(v: PrimeVector): PrimeVector {
  return [0 - v[0], 0 - v[1], 0 - v[2], 0 - v[3], 0 - v[4], 0 - v[5]];
}

/** Key class 0..11 of any whole number of keys. Not checked: a fraction stays one. @example toKeyClass(-1) // 11 */
export function toKeyClass(keys: number): number {
  return ((keys % 12) + 12) % 12;
}

/** Interval class 0..6 of any whole number of keys: inversions are one. @example toIntervalClass(8) // 4 */
export function toIntervalClass(keys: number): number {
  const keyClass = toKeyClass(keys);
  return keyClass > 6 ? 12 - keyClass : keyClass;
}

/** From the chain of pure fifths down to 5/4, in cents. */
const SYNTONIC_CENTS = 4 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[2];
/** By how many syntonic commas 7, 11 and 13 are below the chain of pure fifths: 1.27, 2.81, -2.25. */
const SEVEN = (-2 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[3]) / SYNTONIC_CENTS;
const ELEVEN = (6 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[4]) / SYNTONIC_CENTS;
const THIRTEEN = (-4 * PRIME_DEVIATION_CENTS[1] - PRIME_DEVIATION_CENTS[5]) / SYNTONIC_CENTS;

/**
 * How many syntonic commas a point is below the chain of pure fifths; where it has primes above 5, the whole number
 * nearest to it. Below 0 for a point above the chain.
 *
 * @example toCommas([0, 0, 1, 0, 0, 0])  // 1: 5/4
 * @example toCommas([0, 2, 0, -1, 0, 0]) // -1: 9/7 is a major third 27 cents above 5/4's place on the chain, 81/64
 */
export function toCommas([, , five, seven, eleven, thirteen]: PrimeVector): number {
  if (seven === 0 && eleven === 0 && thirteen === 0) return five;
  return five + Math.round(SEVEN * seven + ELEVEN * eleven + THIRTEEN * thirteen);
}
