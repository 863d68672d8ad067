import fc from 'fast-check';
import Fraction from 'fraction.js';
import type { PrimeVector } from '../../../src/core/theory/index.js';

/** Any vector with exponents up to `size` either way. */
export function vectors(size: number): fc.Arbitrary<PrimeVector> {
  const exponent = fc.integer({ min: -size, max: size });
  return fc.tuple(exponent, exponent, exponent, exponent, exponent, exponent);
}

/** The value of a vector in another hand's rational arithmetic. */
export function fractionOf(v: PrimeVector): Fraction {
  return [2, 3, 5, 7, 11, 13].reduce(
    (product, prime, i) => product.mul(new Fraction(prime).pow(v[i])),
    new Fraction(1),
  );
}
