import { toBodyCents, toPureShare } from './figures.js';
import type { HeardNote } from './heard-note.js';
import { forEachStretch } from './stretches.js';

/** How a performance went: columns of equal length, one row for each piece of time. */
export interface Course {
  /** Middle of each piece of time. */
  readonly atMs: readonly number[];
  /** How far the body stood from home, in cents; null in silence. */
  readonly bodyCents: readonly (number | null)[];
  /** How much of the consonances was pure, 0 to 1; null where none sounded. */
  readonly pure: readonly (number | null)[];
}

/**
 * The course of a performance in pieces of time of the same length, each the mean of what went on in it.
 *
 * @param rows how many pieces of time
 */
export function toCourse(
  notes: readonly HeardNote[],
  toHomeCents: (key: number) => number,
  lengthMs: number,
  rows: number,
): Course {
  const width = Math.max(lengthMs, 1) / rows;
  const [body, bodyMs, pure, pureMs] = Array.from({ length: 4 }, () => new Float64Array(rows));
  forEachStretch(notes, (fromMs, untilMs, sounding) => {
    const away = toBodyCents(sounding, toHomeCents);
    const share = toPureShare(sounding);
    const last = Math.min(rows - 1, Math.floor(untilMs / width));
    for (let row = Math.min(rows - 1, Math.floor(fromMs / width)); row <= last; row++) {
      const ms = Math.min(untilMs, (row + 1) * width) - Math.max(fromMs, row * width);
      if (ms <= 0) continue;
      body[row] += away * ms;
      bodyMs[row] += ms;
      if (share === undefined) continue;
      pure[row] += share * ms;
      pureMs[row] += ms;
    }
  });
  const mean = (sums: Float64Array, weights: Float64Array) =>
    Array.from(sums, (sum, row) => (weights[row] === 0 ? null : sum / weights[row]));
  return {
    atMs: Array.from({ length: rows }, (_, row) => (row + 0.5) * width),
    bodyCents: mean(body, bodyMs),
    pure: mean(pure, pureMs),
  };
}
