import Fraction from 'fraction.js';
import { type ErrorCode, fail, type Outcome, type Problem, succeed } from '../outcome.js';
import { divide, PRIMES, type PrimeVector, toRoot } from './vector.js';

/** A ratio in lowest terms, both sides positive and exact at any size. */
export interface ExactFraction {
  readonly numerator: bigint;
  readonly denominator: bigint;
}

/** Longest text `parseRatio` looks at. */
const MAX_TEXT = 120;
/** Most digits `formatRatio` prints on one side of the stroke. */
const MAX_DIGITS = 24;
/** Largest factor tried to name a prime in a message. */
const MAX_NAMED_PRIME = 997n;

/**
 * Reads a ratio: `27/20`, `5:4`, a whole number such as `3`, or the power product `formatRatio` writes for
 * huge ones (`2^-400·3^400·5^-100`, `*` allowed for `·`). Spaces are ignored, terms needn't be lowest.
 *
 * Fails with `RATIO_LONG` over 120 characters, `RATIO_TEXT` for anything of another shape (signs and decimals
 * included), `RATIO_ZERO` for a zero on either side, and `RATIO_PRIME` if, in lowest terms, a prime above 13
 * is left; the message names it.
 *
 * @example parseRatio('27/20')  // { ok: true, value: [-2, 3, -1, 0, 0, 0] }
 * @example parseRatio('17/16')  // { ok: false, problem: { code: 'RATIO_PRIME', … } }
 */
export function parseRatio(text: string): Outcome<PrimeVector> {
  if (text.length > MAX_TEXT) {
    return fail(problem('RATIO_LONG', `a ratio of ${text.length} characters is too long`));
  }
  const bare = text.replace(/\s+/g, '');
  if (bare.includes('^')) return parsePowers(text, bare);
  const sides = /^(\d+)(?:[/:](\d+))?$/.exec(bare);
  if (!sides) return fail(problem('RATIO_TEXT', `"${text}" is not a ratio`));
  const numerator = BigInt(sides[1]);
  const denominator = BigInt(sides[2] ?? '1');
  if (numerator === 0n || denominator === 0n) {
    return fail(problem('RATIO_ZERO', `"${text}" has a zero in it`));
  }
  const lowest = new Fraction(numerator, denominator);
  const over = takeOutPrimes(lowest.n);
  const under = takeOutPrimes(lowest.d);
  const left = over.left > 1n ? over.left : under.left;
  if (left > 1n) {
    const advice =
      'Primes 2, 3, 5, 7, 11 and 13 are counted; where a list allows cents, write this step in cents.';
    return fail({ code: 'RATIO_PRIME', message: `"${text}" contains ${nameFactor(left)}`, advice });
  }
  const [a, b] = [over.exponents, under.exponents];
  return succeed([a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3], a[4] - b[4], a[5] - b[5]]);
}

/**
 * The vector of a ratio written as a literal in code. Text from outside needs `parseRatio`. Throws a RangeError where
 * `parseRatio` would fail: a wrong literal is a mistake in the program.
 *
 * @example ratio('81/80')  // [-4, 4, -1, 0, 0, 0], frozen
 */
export function ratio(literal: string): PrimeVector {
  const outcome = parseRatio(literal);
  if (!outcome.ok) throw new RangeError(outcome.problem.message);
  return Object.freeze(outcome.value);
}

/**
 * Numerator and denominator, in lowest terms because no prime is on both sides. The numbers can have any number of
 * digits: `formatRatio` limits them.
 *
 * @example toFraction([-4, 4, -1, 0, 0, 0])  // { numerator: 81n, denominator: 80n }
 */
export function toFraction(v: PrimeVector): ExactFraction {
  let numerator = 1n;
  let denominator = 1n;
  for (let i = 0; i < 6; i++) {
    const factor = BigInt(PRIMES[i]) ** BigInt(Math.abs(v[i]));
    if (v[i] > 0) numerator *= factor;
    else denominator *= factor;
  }
  return { numerator, denominator };
}

/**
 * A ratio as text, always exact and with its stroke: `3/2`, `2/1`, `1/1`. With more than 24 digits on either side it is
 * a power product: `2^-400·3^400·5^-100` for a hundred syntonic commas. `parseRatio` reads both.
 *
 * @example formatRatio([-4, 4, -1, 0, 0, 0])  // '81/80'
 */
export function formatRatio(v: PrimeVector): string {
  // Digits of a side, at most: one more than the sum of the exponents' log10.
  if (roughDigits(v, 1) < MAX_DIGITS + 1 && roughDigits(v, -1) < MAX_DIGITS + 1) {
    const { numerator, denominator } = toFraction(v);
    const text = `${numerator}/${denominator}`;
    if (Math.max(text.indexOf('/'), text.length - text.indexOf('/') - 1) <= MAX_DIGITS) return text;
  }
  return PRIMES.map((prime, i) => (v[i] === 0 ? '' : `${prime}^${v[i]}`))
    .filter((term) => term !== '')
    .join('·');
}

/**
 * A ratio as text, as a power where it is one: `81/80`, `(80/81)⁸`. Always exact, as `formatRatio` is.
 * @example formatPower(power(ratio('80/81'), 8))  // '(80/81)⁸'
 */
export function formatPower(v: PrimeVector): string {
  const { root, times } = toRoot(v);
  if (times < 2) return formatRatio(v);
  const figures = [...String(times)].map((figure) => '⁰¹²³⁴⁵⁶⁷⁸⁹'[Number(figure)]);
  return `(${formatRatio(root)})${figures.join('')}`;
}

function roughDigits(v: PrimeVector, side: 1 | -1): number {
  let log = 0;
  for (let i = 0; i < 6; i++) log += Math.max(0, side * v[i]) * Math.log10(PRIMES[i]);
  return log;
}

function parsePowers(text: string, bare: string): Outcome<PrimeVector> {
  const exponents: [number, number, number, number, number, number] = [0, 0, 0, 0, 0, 0];
  for (const term of bare.split(/[·*]/)) {
    const parts = /^(\d{1,3})\^(-?\d{1,9})$/.exec(term);
    if (!parts)
      return fail(problem('RATIO_TEXT', `"${text}" is not a ratio: "${term}" is no power of a prime`));
    const index = (PRIMES as readonly number[]).indexOf(Number(parts[1]));
    if (index < 0) {
      const message = `"${text}" has powers of ${parts[1]}`;
      return fail({ code: 'RATIO_PRIME', message, advice: 'Use powers of 2, 3, 5, 7, 11 and 13.' });
    }
    exponents[index] += Number(parts[2]);
  }
  return succeed(exponents);
}

function takeOutPrimes(whole: bigint): { exponents: number[]; left: bigint } {
  let left = whole;
  const exponents = PRIMES.map((prime) => {
    const p = BigInt(prime);
    let count = 0;
    for (; left % p === 0n; left /= p) count++;
    return count;
  });
  return { exponents, left };
}

/** "the prime 17", or "the factor 1022117" where the smallest prime is too large to find. */
function nameFactor(left: bigint): string {
  for (let p = 17n; p <= MAX_NAMED_PRIME; p += 2n) if (left % p === 0n) return `the prime ${p}`;
  return left < MAX_NAMED_PRIME * MAX_NAMED_PRIME ? `the prime ${left}` : `the factor ${left}`;
}

function problem(code: ErrorCode, message: string): Problem {
  return { code, message, advice: 'Write a ratio such as 27/20, 5:4 or 3.' };
}

/** Larger terms can't be read at a glance. */
const LARGEST = 999n;

/**
 * Notes as one proportion of whole numbers without a common factor, from the lowest up; undefined where its terms get
 * beyond three figures, and for fewer than two notes.
 *
 * @param points six exponents each, from the lowest note up
 * @example toProportion([ratio('1/1'), ratio('5/4'), ratio('3/2')])  // '4:5:6'
 */
export function toProportion(points: readonly (readonly number[])[]): string | undefined {
  if (points.length < 2) return undefined;
  // Over the greatest common divisor: the least exponent of each prime.
  const common = [0, 1, 2, 3, 4, 5].map((at) => Math.min(...points.map((point) => point[at])));
  const terms = points.map((point) => toFraction(divide(toVector(point), toVector(common))).numerator);
  return terms.some((term) => term > LARGEST) ? undefined : terms.join(':');
}

/** A vector from a plain list of six exponents, such as one from the feed. Not checked: six whole numbers. */
export function toVector(point: readonly number[]): PrimeVector {
  return [point[0], point[1], point[2], point[3], point[4], point[5]];
}

/** A ratio with a traditional name, never less than 1/1. */
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
