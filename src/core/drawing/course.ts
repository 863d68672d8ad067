import type { PathShape } from './shapes.js';

/**
 * How the course of each strategy is dashed, wherever it is drawn: lengths of dashes and gaps, none for a solid line. So
 * courses are told apart without colour.
 */
export const COURSE_DASHES = {
  free: [],
  pull: [14, 6],
  anchored: [2, 5],
  temper: [16, 5, 3, 5],
} as const satisfies Readonly<Record<string, readonly number[]>>;

/** A point of a course; null where there is nothing to draw. */
export type DriftPoint = readonly [x: number, y: number] | null;

/**
 * A course as one line, the pen lifted where there is nothing to draw.
 * @example
 * drawCourse([[0, 0], [9, 1], null, [20, 0]], { stroke: '#111', thick: 3, dash: [] }).steps
 * // [['M', 0, 0], ['L', 9, 1], ['M', 20, 0]]
 */
export function drawCourse(
  points: readonly DriftPoint[],
  { stroke, thick, dash }: { stroke: string; thick: number; dash: readonly number[] },
): PathShape {
  const steps: PathShape['steps'][number][] = [];
  let isDown = false;
  for (const point of points) {
    if (point !== null) steps.push([isDown ? 'L' : 'M', ...point]);
    isDown = point !== null;
  }
  return {
    kind: 'path',
    steps,
    stroke,
    thick,
    isRound: true,
    ...(dash.length === 0 ? {} : { dash: dash.join(' ') }),
  };
}
