import { PRIME_CENTS } from '../theory/index.js';
import { formatSigned } from '../words/index.js';
import { type PathShape, type Shape, write } from './shapes.js';
import { spread } from './spread.js';

/** 81/80 in cents: the spacing of rules in every drift plot. */
export const COMMA_CENTS = 4 * PRIME_CENTS[1] - PRIME_CENTS[2] - 4 * PRIME_CENTS[0];

/**
 * The drift curve of each strategy in every plot: its colour on light paper, and the lengths of dashes and gaps, none
 * for a solid line. So curves differ without colour.
 */
export const DRIFT_LINES = {
  free: { colour: '#a63c06', dash: [] },
  pull: { colour: '#00695c', dash: [14, 6] },
  anchored: { colour: '#0a4f8f', dash: [2, 5] },
  temper: { colour: '#7a2f7d', dash: [16, 5, 3, 5] },
} as const satisfies Readonly<Record<string, LineStyle>>;

/** Differs by more than colour. */
export interface LineStyle {
  readonly colour: string;
  readonly dash: readonly number[];
}

/** A plot's lower and upper edge, in cents. */
export interface CentsRange {
  readonly low: number;
  readonly high: number;
}

/** Whole syntonic commas within a range, home left out; only every second, fifth … of many. */
export function toCommaRules({ low, high }: CentsRange, most = 9): number[] {
  const first = Math.ceil(low / COMMA_CENTS);
  const last = Math.floor(high / COMMA_CENTS);
  const step = toRoundStep((last - first + 1) / most);
  const rules: number[] = [];
  for (let n = Math.ceil(first / step) * step; n <= last; n += step) if (n !== 0) rules.push(n);
  return rules;
}

/** Round numbers for a scale, about `count` of them. @example toTicks({ low: -54, high: 22 }, 5)  // [-40, -20, 0, 20] */
export function toTicks({ low, high }: CentsRange, count: number): number[] {
  const step = toRoundStep((high - low) / count);
  const ticks: number[] = [];
  for (let n = Math.ceil(low / step); n * step <= high; n++) ticks.push(n * step + 0);
  return ticks;
}

/** The least of 1, 2, 5, 10, 20 … not below `wanted`. */
function toRoundStep(wanted: number): number {
  for (let power = 1; ; power *= 10) {
    for (const digit of [1, 2, 5]) if (digit * power >= wanted) return digit * power;
  }
}

/** A rule of the scale of commas. @example formatCommas(-2)  // '−2 commas' */
export function formatCommas(commas: number): string {
  const size = Math.abs(commas);
  return `${commas < 0 ? '−' : '+'}${size} comma${size === 1 ? '' : 's'}`;
}

/** A number on the scale of cents. @example formatTick(-20)  // '−20' */
export function formatTick(cents: number): string {
  return formatSigned(cents).replace('.0', '');
}

/** A curve over time, with a label at its end. A value is null where there is nothing to draw. */
export interface PlotLine extends LineStyle {
  readonly points: readonly { readonly at: number; readonly value: number | null }[];
  readonly label: string;
}

/** The place of a plot in its drawing, its ranges, and its colours. */
export interface PlotFrame extends CentsRange {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** Where the scale of commas ends, right of the labels. */
  readonly edge: number;
  /** From the left edge to the right one, in the unit of the lines' times. */
  readonly from: number;
  readonly to: number;
  /** A plot in percent has no commas, and no signs. */
  readonly unit: 'c' | '%';
  readonly ink: string;
  readonly faint: string;
  readonly rule: string;
}

/** The position of a time and a value in the drawing. Times out of the frame are at its edge. */
export function toPlotScale({ left, right, top, bottom, from, to, low, high }: PlotFrame) {
  return {
    x: (at: number) =>
      left + ((Math.max(from, Math.min(at, to)) - from) / Math.max(to - from, 1)) * (right - left),
    y: (value: number) => bottom - ((value - low) / (high - low)) * (bottom - top),
  };
}

/** Draws scales, curves and their labels, without overlap. The caller draws what is under them, and the times. */
export function drawDriftPlot(frame: PlotFrame, lines: readonly PlotLine[]): Shape[] {
  const { left, right, top, bottom, edge, unit, ink, faint, rule } = frame;
  const { x, y } = toPlotScale(frame);
  const shapes: Shape[] = [];
  for (const tick of toTicks(frame, 6)) {
    const words = `${unit === 'c' ? formatTick(tick) : tick} ${unit}`;
    shapes.push(
      { kind: 'line', from: [left, y(tick)], to: [right, y(tick)], stroke: tick === 0 ? ink : rule },
      write(left - 8, y(tick) + 5, words, { size: 15, fill: faint, anchor: 'end' }),
    );
  }
  for (const commas of unit === 'c' ? toCommaRules(frame) : []) {
    const down = y(commas * COMMA_CENTS);
    shapes.push(
      { kind: 'line', from: [right, down], to: [right + 12, down], stroke: faint },
      write(edge, down + 5, formatCommas(commas), { size: 12, fill: faint, anchor: 'end' }),
    );
  }
  const ends = lines.map(({ points }) => y(points.findLast(({ value }) => value !== null)?.value ?? 0));
  const labels = spread(ends, 19, top, bottom);
  lines.forEach((line, i) => {
    const { colour, label } = line;
    shapes.push(
      drawCurve(line, x, y),
      write(right + 16, labels[i] + 5, label, { size: 16, fill: colour, bold: true }),
    );
  });
  return shapes;
}

/** One path, interrupted where there is nothing to draw. */
function drawCurve(
  { points, colour, dash }: PlotLine,
  x: (at: number) => number,
  y: (value: number) => number,
): PathShape {
  const steps: PathShape['steps'][number][] = [];
  let isDown = false;
  for (const { at, value } of points) {
    if (value !== null) steps.push([isDown ? 'L' : 'M', x(at), y(value)]);
    isDown = value !== null;
  }
  const dashes = dash.length === 0 ? {} : { dash: dash.join(' ') };
  return { kind: 'path', steps, stroke: colour, thick: 2.5, isRound: true, ...dashes };
}
