import {
  invert,
  multiply,
  type PrimeVector,
  power,
  ratio,
  toDeviationCents,
  UNISON,
} from '../../theory/index.js';

/** The widest a single return may be: a syntonic comma. */
const SYNTONIC = ratio('81/80');
export const WIDEST_CENTS = toDeviationCents(SYNTONIC) + 1e-6;

/** One for each further prime, none wider than 6 cents. With the syntonic comma they generate all that spans no key. */
const SCHISMA = ratio('32805/32768');
const FOR_SEVEN = ratio('5120/5103');
const FOR_ELEVEN = ratio('8000/8019');
const FOR_THIRTEEN = ratio('325/324');

/**
 * The returns that give back a drift: commas whose product is its inverse, none wider than a syntonic comma. They may
 * be taken in this order, the narrow ones spread among the wide.
 *
 * @param drift a comma product, octaves left out: it spans no key
 * @example toCommaSteps(ratio('6400/6561')).map(formatRatio)  // ['81/80', '81/80']
 * @example toCommaSteps(ratio('125/128')).map(formatRatio)    // ['81/80', '2048/2025']: a lesser diesis in two
 */
export function toCommaSteps(drift: PrimeVector): PrimeVector[] {
  const { commas, rest } = toParts(invert(drift));
  const sign = Math.sign(commas);
  const wide = new Array<PrimeVector>(Math.abs(commas)).fill(power(SYNTONIC, sign));
  // Each wide one includes the narrow ones that make it narrower.
  if (wide.length > 0 && sign * toDeviationCents(toProduct(rest)) < 0) {
    const shares = toShares(rest, wide.length);
    const steps = wide.map((step, i) => multiply(step, shares[i]));
    if (steps.every(isNarrow)) return steps;
  }
  return merge(wide, toNarrow(rest));
}

/** A comma of the base, and how often. */
type Part = readonly [comma: PrimeVector, count: number];

/** The base is triangular: each of the higher primes is in one of its commas alone. */
function toParts(comma: PrimeVector): { commas: number; rest: readonly Part[] } {
  const high: Part[] = [
    [FOR_SEVEN, 0 - comma[3]],
    [FOR_ELEVEN, 0 - comma[4]],
    [FOR_THIRTEEN, comma[5]],
  ];
  const [, three, five] = multiply(comma, invert(toProduct(high)));
  // 81/80 has 3 by 4 and 5 by -1, the schisma 3 by 8 and 5 by 1.
  const schismas = (three + 4 * five) / 12;
  return { commas: schismas - five, rest: [[SCHISMA, schismas], ...high] };
}

function toProduct(parts: readonly Part[]): PrimeVector {
  return parts.reduce((product, [comma, count]) => multiply(product, power(comma, count)), UNISON);
}

function toShares(parts: readonly Part[], count: number): PrimeVector[] {
  const upTo = (all: number, i: number) => Math.round((all * i) / count);
  return Array.from({ length: count }, (_, i) =>
    toProduct(parts.map(([comma, all]) => [comma, upTo(all, i + 1) - upTo(all, i)])),
  );
}

/** Narrow parts alone, in as few steps as possible. */
function toNarrow(parts: readonly Part[]): PrimeVector[] {
  if (parts.every(([, count]) => count === 0)) return [];
  for (let count = 1; ; count++) {
    const steps = toShares(parts, count);
    if (steps.every(isNarrow)) return steps;
  }
}

function isNarrow(step: PrimeVector): boolean {
  return Math.abs(toDeviationCents(step)) <= WIDEST_CENTS;
}

function merge(wide: readonly PrimeVector[], narrow: readonly PrimeVector[]): PrimeVector[] {
  const placed = [wide, narrow].flatMap((steps) =>
    steps.map((step, i) => ({ step, at: (i + 0.5) / steps.length })),
  );
  return placed.sort((a, b) => a.at - b.at).map(({ step }) => step);
}
