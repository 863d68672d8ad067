import fc from 'fast-check';
import Fraction from 'fraction.js';
import { expect } from 'vitest';
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

/** Ratios and their cents as one source prints them. */
export interface PrintedTable {
  readonly source: string;
  readonly rows: readonly (readonly [string, string])[];
}

/** Rows of a printed table. @example printed('3/2 701.955, 4/3 498.045') // [['3/2', '701.955'], ['4/3', '498.045']] */
export function printed(text: string): [string, string][] {
  return text
    .trim()
    .split(/,\s+/)
    .map((row) => row.split(' ') as [string, string]);
}

/**
 * That `value` rounds to what was printed: half a unit of the last printed decimal. One decimal gets a whole
 * unit, because Partch's column of one decimal cuts instead of rounding (33/32 is printed 53.2, true 53.273).
 */
export function expectPrinted(value: number, print: string): void {
  const decimals = print.split('.')[1]?.length ?? 0;
  const tolerance = (decimals === 1 ? 1 : 0.5) * 10 ** -decimals + 1e-9;
  expect(Math.abs(value - Number(print)), `${value} against the printed ${print}`).toBeLessThanOrEqual(
    tolerance,
  );
}
