import {
  DRIFT_LINES,
  drawDriftPlot,
  formatDrawing,
  type PlotFrame,
  type Shape,
  toPlotScale,
  write,
} from '../../core/drawing/index.js';
import { type PassFact, STRATEGIES } from '../../core/protocol/index.js';
import { formatCents } from '../../core/words/index.js';
import type { DriftLine, SessionHistory } from '../state/session-history.js';
import { findMoment, formatAgo, toRange, toTimeTicks } from './scales.js';

const COLOURS = ['paper', 'ink', 'faint', 'rule', 'band', ...STRATEGIES] as const;

/** The page's present colours, for a picture. */
export type Palette = Readonly<Record<(typeof COLOURS)[number], string>>;

/** Reads the page's present colours from the style sheet. */
export function readPalette(): Palette {
  const style = getComputedStyle(document.documentElement);
  return Object.fromEntries(
    COLOURS.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]),
  ) as Palette;
}

/** The contents of a picture of the drift. */
export interface DriftView {
  readonly log: Pick<SessionHistory, 'seconds' | DriftLine>;
  readonly nowSeconds: number;
  readonly spanSeconds: number;
  readonly leewayCents: number;
  readonly passes: readonly PassFact[];
}

const WIDTH = 1200;
const HEIGHT = 600;
const PLACE = { left: 80, right: WIDTH - 240, edge: WIDTH - 12, top: 24, bottom: HEIGHT - 44 };

/** The drift curves as a self-contained SVG text, colours included, to be saved. */
export function toDriftSvg(view: DriftView, palette: Palette): string {
  const { log, nowSeconds, spanSeconds, leewayCents } = view;
  const from = nowSeconds - spanSeconds;
  const first = findMoment(log.seconds, from);
  const shown = STRATEGIES.flatMap((line) => log[line].slice(first));
  const range = toRange(Math.min(0, ...shown), Math.max(0, ...shown), leewayCents);
  const frame: PlotFrame = { ...PLACE, ...range, ...palette, from, to: nowSeconds, unit: 'c' };
  const { left, right, top, bottom } = frame;
  const { x, y } = toPlotScale(frame);
  const small = { size: 15, fill: palette.faint } as const;
  const band = { y: y(leewayCents), height: y(-leewayCents) - y(leewayCents) };
  const lines = STRATEGIES.map((line) => ({
    points: log.seconds.slice(first).map((at, i) => ({ at, value: log[line][first + i] })),
    label: `${line} ${formatCents(log[line].at(-1) ?? 0)}`,
    colour: palette[line],
    dash: DRIFT_LINES[line].dash,
  }));

  const shapes: Shape[] = [
    { kind: 'box', x: 0, y: 0, width: WIDTH, height: HEIGHT, fill: palette.paper },
    { kind: 'box', x: left, width: right - left, ...band, fill: palette.band },
  ];
  for (const ago of toTimeTicks(spanSeconds)) {
    shapes.push(write(x(nowSeconds - ago), HEIGHT - 14, formatAgo(ago), { ...small, anchor: 'middle' }));
  }
  let freeX = Number.NEGATIVE_INFINITY;
  for (const { n, atMs } of view.passes) {
    const at = x(atMs / 1000);
    if (atMs / 1000 < from || n === 1 || at < freeX) continue;
    freeX = at + 70;
    shapes.push(
      { kind: 'line', from: [at, top], to: [at, bottom], stroke: palette.rule, dash: '1 5' },
      write(at + 4, top + 12, `pass ${n}`, small),
    );
  }
  shapes.push(...drawDriftPlot(frame, lines));
  return formatDrawing({ width: WIDTH, height: HEIGHT, shapes }, 'The drift, in cents');
}
