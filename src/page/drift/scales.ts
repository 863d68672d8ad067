import { type CentsRange, COMMA_CENTS } from '../../core/drawing/index.js';
import type { PassFact, PlayingFact } from '../../core/protocol/index.js';

/** What the chart shows: the last seconds, or the last passes of the piece. */
export type Span =
  | { readonly kind: 'seconds'; readonly seconds: number }
  | { readonly kind: 'passes'; readonly passes: number };

/** The spans one can choose, each with its words. */
export const SPANS: readonly (readonly [Span, string])[] = [
  ...[1, 3, 10, 30].map(
    (passes) => [{ kind: 'passes', passes }, passes === 1 ? 'this pass' : `${passes} passes`] as const,
  ),
  ...[10, 30, 60, 120, 300, 600].map(
    (seconds) => [{ kind: 'seconds', seconds }, formatAgo(seconds)] as const,
  ),
];

/** From where to where the chart reaches, in seconds on the session's clock. */
export interface TimeWindow {
  readonly from: number;
  readonly to: number;
}

/** Shortest window, in seconds. */
const LEAST_SECONDS = 1;
/** How much is shown by passes before there are any. */
const NO_PASSES_SECONDS = 60;

/**
 * The window of a span. By seconds it ends now; by passes at the end of the running pass, so that it stays while the pen
 * moves through it.
 */
export function toWindow(
  span: Span,
  nowSeconds: number,
  passes: readonly PassFact[],
  playing: PlayingFact | null,
): TimeWindow {
  const last = passes.at(-1);
  if (span.kind === 'seconds' || last === undefined) {
    const seconds = span.kind === 'seconds' ? span.seconds : NO_PASSES_SECONDS;
    return { from: nowSeconds - seconds, to: nowSeconds };
  }
  const first = passes[Math.max(0, passes.length - span.passes)];
  const leftMs = playing === null ? 0 : (playing.toMs - playing.positionMs) / playing.tempo;
  const from = first.atMs / 1000;
  return { from, to: Math.max(nowSeconds + Math.max(0, leftMs) / 1000, from + LEAST_SECONDS) };
}

/** Most that the chart shows of lines far apart, in commas. */
const MOST_COMMAS = 8;
/** Free share above everything drawn: room for the passes. */
const HEADROOM = 0.12;

/** The lowest and highest values of a line, in cents. */
export interface Extent {
  readonly low: number;
  readonly high: number;
}

/**
 * What the chart shows of several lines: the first of them whole, and each other one that leaves the rest legible, the
 * nearest first. A line left out is beyond the edge.
 *
 * @example chooseExtent([{ low: -8, high: 8 }, { low: -869, high: -860 }])  // { low: -8, high: 8 }
 */
export function chooseExtent([first, ...others]: readonly Extent[]): Extent {
  let { low, high } = first;
  const rest = [...others];
  const toSpan = (one: Extent) => Math.max(high, one.high) - Math.min(low, one.low);
  while (rest.length > 0) {
    rest.sort((a, b) => toSpan(a) - toSpan(b));
    const next = rest.shift()!;
    if (toSpan(next) > Math.max(MOST_COMMAS * COMMA_CENTS, high - low)) break;
    [low, high] = [Math.min(low, next.low), Math.max(high, next.high)];
  }
  return { low, high };
}

/**
 * The range of the chart: what it shows, with half a comma of margin, and more above. It changes in steps of half a
 * comma, so seldom and clearly. Never less than two commas in all.
 *
 * @example toRange({ low: -43, high: 8 })  // { low: -48.39, high: 21.51 }
 */
export function toRange({ low: least, high: most }: Extent): CentsRange {
  const half = COMMA_CENTS / 2;
  let low = (Math.floor(least / half) - 0.5) * half;
  const headroom = (HEADROOM / (1 - HEADROOM)) * (most - low);
  let high = Math.max((Math.ceil(most / half) + 0.5) * half, Math.ceil((most + headroom) / half) * half);
  for (let grows = true; high - low < 2 * COMMA_CENTS - 0.01; grows = !grows) {
    if (grows) high += half;
    else low -= half;
  }
  return { low, high };
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
