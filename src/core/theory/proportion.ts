import { toFraction } from './ratio.js';
import { divide, type PrimeVector } from './vector.js';

/** Larger terms say nothing to the eye. */
const LARGEST = 999n;

/**
 * Notes as one proportion of whole numbers without a common factor, from the lowest up; undefined where its terms get
 * beyond three figures, and for fewer than two notes.
 *
 * @example toProportion([C, E, G])  // '4:5:6'
 */
export function toProportion(points: readonly (readonly number[])[]): string | undefined {
  if (points.length < 2) return undefined;
  // Over the greatest common divisor: the least exponent of each prime.
  const common = [0, 1, 2, 3, 4, 5].map((at) => Math.min(...points.map((point) => point[at])));
  const terms = points.map((point) => toFraction(divide(toVector(point), toVector(common))).numerator);
  return terms.some((term) => term > LARGEST) ? undefined : terms.join(':');
}

/** Six exponents that travelled as a plain list, as a vector. */
export function toVector(point: readonly number[]): PrimeVector {
  return [point[0], point[1], point[2], point[3], point[4], point[5]];
}
