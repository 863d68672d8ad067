import { type DriftCurveFact, forStrategies, LIMITS, STRATEGIES } from '../protocol/index.js';

/** What is left of the drift under each strategy at one moment, in cents. */
export interface DriftPoint {
  readonly atMs: number;
  readonly free: number;
  readonly pull: number;
  readonly anchored: number;
  readonly temper: number;
}

/** Closer points are joined; once there are too many, older points closer than this share of their age are too. */
const SPACING_MS = 50;
const SPACING_SHARE = 0.005;

/**
 * The recent drift, bounded: a viewer that connects now can draw it at once.
 *
 * A stretch without changes is stored as its two ends. When it is full, what is older than `LIMITS.driftCurveMs` is
 * dropped, and the past gets coarser with age: at most ln(600 s ÷ 10 s) ÷ 0.005 + 200 points remain, about 1 020. Times
 * are in milliseconds and never decrease; drift is in cents.
 */
export class DriftHistory {
  #points: DriftPoint[] = [];

  /** Adds a point. Times must not decrease. */
  record({ atMs, ...cents }: DriftPoint): void {
    const points = this.#points;
    const point = {
      atMs: Math.round(atMs),
      ...forStrategies((which) => toHundredth(cents[which])),
    };
    const last = points.at(-1);
    const before = points.at(-2);
    const isFlat = last !== undefined && isSame(point, last);
    const replaces =
      last !== undefined &&
      ((isFlat && point.atMs === last.atMs) ||
        (before !== undefined &&
          (point.atMs - before.atMs < SPACING_MS || (isFlat && isSame(last, before)))));
    if (replaces) points[points.length - 1] = point;
    else points.push(point);
    if (points.length > LIMITS.driftCurve) this.#thin(point.atMs);
  }

  toFact(): DriftCurveFact {
    const points = this.#points;
    return {
      atMs: points.map((point) => point.atMs),
      ...forStrategies((which) => points.map((point) => point[which])),
    };
  }

  #thin(nowMs: number): void {
    const thinned: DriftPoint[] = [];
    for (const point of this.#points.toReversed()) {
      const age = nowMs - point.atMs;
      if (age > LIMITS.driftCurveMs) break;
      const next = thinned.at(-1);
      const spacing = Math.max(SPACING_MS, SPACING_SHARE * age);
      if (next === undefined || next.atMs - point.atMs >= spacing) thinned.push(point);
    }
    this.#points = thinned.reverse();
  }
}

function isSame(a: DriftPoint, b: DriftPoint): boolean {
  return STRATEGIES.every((which) => a[which] === b[which]);
}

function toHundredth(cents: number): number {
  return Math.round(cents * 100) / 100 + 0;
}
