import { PEN } from './pen.js';

/**
 * How far heads move to the right, in head widths, so that none covers another: notes a second apart, unisons.
 *
 * @param steps their lines and spaces, from the lowest note up
 * @example toSides([30, 31, 33])  // [0, 1, 0]
 */
export function toSides(steps: readonly number[]): number[] {
  const sides: number[] = [];
  steps.forEach((step, i) => {
    const near = sides.filter((_, k) => Math.abs(steps[k] - step) < 2);
    let side = 0;
    while (near.includes(side)) side += 1;
    sides[i] = side;
  });
  return sides;
}

/** Places of accidentals, counted leftward from where the heads begin. */
export interface AccidentalPlaces {
  /** Room for all of them. */
  readonly width: number;
  /** For each note; a note without one has 0 for both. */
  readonly ends: readonly number[];
  readonly starts: readonly number[];
}

const ACCIDENTAL_HEIGHT = 18;

/**
 * Moves accidentals beside each other where they would overlap above each other.
 * @param widths 0 for a note without one
 * @param ys their heights, counted down
 */
export function toAccidentalPlaces(widths: readonly number[], ys: readonly number[]): AccidentalPlaces {
  const places: { at: number; start: number; end: number }[] = [];
  // From the highest note down, as they are read.
  const order = widths.map((_, i) => i).filter((i) => widths[i] > 0);
  order.sort((a, b) => ys[a] - ys[b] || a - b);
  for (const at of order) {
    const near = places.filter((other) => Math.abs(ys[other.at] - ys[at]) < ACCIDENTAL_HEIGHT);
    const ends = [0, ...near.map(({ start }) => start + 1)].sort((a, b) => a - b);
    // Beyond the last of them there is always room.
    const end = ends.find((one) =>
      near.every((other) => other.start <= one || one + widths[at] <= other.end),
    )!;
    places.push({ at, end, start: end + widths[at] });
  }
  const find = (i: number) => places.find(({ at }) => at === i);
  return {
    width: Math.max(0, ...places.map(({ start }) => start)),
    ends: widths.map((_, i) => find(i)?.end ?? 0),
    starts: widths.map((_, i) => find(i)?.start ?? 0),
  };
}

/** A vertical line from a deciding note to those it decided; lanes count from the heads leftward. */
export interface Lane {
  readonly from: number;
  readonly to: readonly number[];
  readonly lane: number;
}

/**
 * A lane for each deciding note of a column, the shortest nearest to the heads; overlapping ones are side by side.
 *
 * @param deciders index of the note that decided each; undefined if not in the column
 * @example
 * const ys = [0, 20, 40, 60];
 * toLanes([undefined, 0, 0, 2], ys)  // [{ from: 2, to: [3], lane: 0 }, { from: 0, to: [1, 2], lane: 1 }]
 */
export function toLanes(deciders: readonly (number | undefined)[], ys: readonly number[]): Lane[] {
  const byDecider = new Map<number, number[]>();
  deciders.forEach((from, i) => {
    if (from !== undefined) byDecider.set(from, [...(byDecider.get(from) ?? []), i]);
  });
  const ways = [...byDecider].map(([from, to]) => {
    const reach = [from, ...to].map((i) => ys[i]);
    return { from, to, low: Math.min(...reach), high: Math.max(...reach) };
  });
  ways.sort((a, b) => a.high - a.low - (b.high - b.low) || a.from - b.from);
  const lanes: number[] = [];
  ways.forEach((way, i) => {
    const taken = lanes.filter(
      (_, k) => ways[k].low <= way.high + PEN.step && way.low <= ways[k].high + PEN.step,
    );
    let lane = 0;
    while (taken.includes(lane)) lane += 1;
    lanes[i] = lane;
  });
  return ways.map(({ from, to }, i) => ({ from, to, lane: lanes[i] }));
}
