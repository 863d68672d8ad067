import { PRIME_CENTS } from '../theory/index.js';

/** 81/80 in cents: the rule of every chart of drift. */
export const COMMA_CENTS = 4 * PRIME_CENTS[1] - PRIME_CENTS[2] - 4 * PRIME_CENTS[0];

/** From the lower edge of a chart to the upper one, in cents. */
export interface CentsRange {
  readonly low: number;
  readonly high: number;
}

/**
 * Whole syntonic commas within a range, home left out; every second, fifth … where they get too many.
 * @param most about how many rules there may be, above 0
 */
export function toCommaRules({ low, high }: CentsRange, most = 9): number[] {
  const first = Math.ceil(low / COMMA_CENTS);
  const last = Math.floor(high / COMMA_CENTS);
  const step = toRoundStep((last - first + 1) / most);
  const rules: number[] = [];
  for (let n = Math.ceil(first / step) * step; n <= last; n += step) if (n !== 0) rules.push(n);
  return rules;
}

/**
 * Round numbers for a scale, about `count` of them. Empty where `high` is below `low`. Both must be finite.
 * @example toTicks({ low: -54, high: 22 }, 5)  // [-40, -20, 0, 20]
 */
export function toTicks({ low, high }: CentsRange, count: number): number[] {
  const step = toRoundStep((high - low) / count);
  const ticks: number[] = [];
  for (let n = Math.ceil(low / step); n * step <= high; n++) ticks.push(n * step + 0);
  return ticks;
}

/** The least of 1, 2, 5, 10, 20 … that is no less than `wanted`. */
function toRoundStep(wanted: number): number {
  for (let power = 1; ; power *= 10) {
    for (const digit of [1, 2, 5]) if (digit * power >= wanted) return digit * power;
  }
}

/**
 * A rule of the scale of commas.
 *
 * @param commas a whole number
 * @example formatCommas(-2)  // '−2 commas'
 */
export function formatCommas(commas: number): string {
  const size = Math.abs(commas);
  return `${commas < 0 ? '−' : '+'}${size} comma${size === 1 ? '' : 's'}`;
}
