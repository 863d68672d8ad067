import { type CentsRange, COMMA_CENTS } from '../../core/drawing/index.js';

/** Time spans of the chart, in seconds. */
export const SPANS_SECONDS = [10, 30, 60, 120, 300, 600] as const;

/** Free share above everything drawn: room for the passes. */
const HEADROOM = 0.12;

/**
 * The range of the chart: home, the leeway and everything drawn, with half a comma of margin, and more above where much
 * is drawn. It changes in steps of half a comma, so seldom and clearly. Never less than a comma either way.
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
