import { PRIME_CENTS } from '../../core/theory/index.js';

/** 81/80 in cents: the rule of the chart. */
export const COMMA_CENTS = 4 * PRIME_CENTS[1] - PRIME_CENTS[2] - 4 * PRIME_CENTS[0];

/** Spans of time the chart can show, in seconds. */
export const SPANS_SECONDS = [10, 30, 60, 120, 300, 600] as const;

/** From the lower edge of the sheet to the upper one, in cents. */
export interface CentsRange {
  readonly low: number;
  readonly high: number;
}

/** Share of the sheet that stays free above everything drawn: there the passes are written. */
const HEADROOM = 0.12;

/**
 * The range of the sheet: home, the leeway and everything drawn, with half a comma of air, and more above where much is
 * drawn, in steps of half a comma so that the sheet moves seldom and then by a clear step. Never less than a comma either
 * way.
 *
 * @example toRange(-43, 0, 8)  // { low: -48.39, high: 21.51 }
 */
export function toRange(lowest: number, highest: number, leewayCents: number): CentsRange {
  const half = COMMA_CENTS / 2;
  const least = Math.min(lowest, -leewayCents);
  const most = Math.max(highest, leewayCents);
  const low = Math.min(-COMMA_CENTS, (Math.floor(least / half) - 0.5) * half);
  const headroom = (HEADROOM / (1 - HEADROOM)) * (most - low);
  return {
    low,
    high: Math.max(
      COMMA_CENTS,
      (Math.ceil(most / half) + 0.5) * half,
      Math.ceil((most + headroom) / half) * half,
    ),
  };
}

/** Whole syntonic commas within a range, home left out; every second, fifth … where they get too many. */
export function toCommaRules({ low, high }: CentsRange, most = 9): number[] {
  const first = Math.ceil(low / COMMA_CENTS);
  const last = Math.floor(high / COMMA_CENTS);
  const step = toRoundStep((last - first + 1) / most);
  const rules: number[] = [];
  for (let n = Math.ceil(first / step) * step; n <= last; n += step) if (n !== 0) rules.push(n);
  return rules;
}

/** Round cents for the left scale, about `count` of them. @example toCentsTicks({ low: -54, high: 22 }, 5)  // [-40, -20, 0, 20] */
export function toCentsTicks({ low, high }: CentsRange, count: number): number[] {
  const step = toRoundStep((high - low) / count);
  const ticks: number[] = [];
  for (let n = Math.ceil(low / step); n * step <= high; n++) ticks.push(n * step);
  return ticks;
}

/** The least of 1, 2, 5, 10, 20 … that is no less than `wanted`. */
function toRoundStep(wanted: number): number {
  for (let power = 1; ; power *= 10) {
    for (const digit of [1, 2, 5]) if (digit * power >= wanted) return digit * power;
  }
}

/** Times to mark on a span, in seconds before now. @example toTimeTicks(60)  // [0, 15, 30, 45, 60] */
export function toTimeTicks(spanSeconds: number): number[] {
  const step = spanSeconds <= 10 ? 2 : spanSeconds <= 30 ? 5 : spanSeconds <= 60 ? 15 : spanSeconds / 4;
  const ticks: number[] = [];
  for (let ago = 0; ago <= spanSeconds; ago += step) ticks.push(ago);
  return ticks;
}

/** How long ago, for the time scale. @example formatAgo(90)  // '1½ min' */
export function formatAgo(seconds: number): string {
  if (seconds === 0) return 'now';
  if (seconds < 60) return `${seconds} s`;
  const minutes = Math.floor(seconds / 60);
  const half = seconds % 60 >= 30 ? '½' : '';
  return `${minutes}${half} min`;
}

/** Index of the last of the rising `times` that is no later than `at`, or 0. */
export function findMoment(times: readonly number[], at: number): number {
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (times[middle] <= at) low = middle;
    else high = middle - 1;
  }
  return low;
}
