import {
  DRIFT_LINES,
  drawDriftPlot,
  formatDrawing,
  type PlotFrame,
  type Shape,
  toPlotScale,
  write,
} from '../../core/drawing/index.js';
import { STRATEGIES } from '../../core/protocol/index.js';
import type { DriftLine, SessionHistory } from '../state/session-history.js';
import { figureOf } from '../words/drift-words.js';
import type { PlotView } from './plot.js';
import { chooseExtent, findMoment, formatAgo, toRange, toTimeTicks } from './scales.js';

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

const WIDTH = 1200;
const HEIGHT = 600;
const PLACE = { left: 80, right: WIDTH - 240, edge: WIDTH - 12, top: 24, bottom: HEIGHT - 44 };

/** The drift curves as a self-contained SVG text, colours included, to be saved. */
export function toDriftSvg(
  log: Pick<SessionHistory, 'seconds' | DriftLine>,
  view: PlotView,
  palette: Palette,
): string {
  const { window, nowSeconds, leewayCents, lines: shown, heard } = view;
  const first = findMoment(log.seconds, window.from);
  const toExtent = (line: DriftLine) => {
    const values = log[line].slice(first).filter((cents) => cents !== null);
    return { low: Math.min(0, ...values), high: Math.max(0, ...values) };
  };
  const home = { low: -leewayCents, high: leewayCents };
  const range = toRange(chooseExtent([home, ...shown.map(toExtent)]));
  const frame: PlotFrame = { ...PLACE, ...range, ...palette, ...window, unit: 'c' };
  const { left, right, top, bottom } = frame;
  const { x, y } = toPlotScale(frame);
  const small = { size: 15, fill: palette.faint } as const;
  const band = { y: y(leewayCents), height: y(-leewayCents) - y(leewayCents) };
  const lines = shown.map((line) => {
    const last = log[line].findLast((cents) => cents !== null) ?? 0;
    return {
      points: log.seconds.slice(first).map((at, i) => ({ at, value: toWithin(log[line][first + i], range) })),
      label: `${line} ${figureOf(last)}${line === heard ? ' (heard)' : ''}`,
      colour: palette[line],
      dash: DRIFT_LINES[line].dash,
    };
  });

  const shapes: Shape[] = [
    { kind: 'box', x: 0, y: 0, width: WIDTH, height: HEIGHT, fill: palette.paper },
    { kind: 'box', x: left, width: right - left, ...band, fill: palette.band },
  ];
  if (!view.byPasses) {
    for (const ago of toTimeTicks(window.to - window.from)) {
      shapes.push(write(x(nowSeconds - ago), HEIGHT - 14, formatAgo(ago), { ...small, anchor: 'middle' }));
    }
  }
  let freeX = Number.NEGATIVE_INFINITY;
  for (const { n, atMs } of view.passes) {
    const at = x(atMs / 1000);
    if (atMs / 1000 < window.from - 0.001 || at < freeX) continue;
    freeX = at + 70;
    shapes.push(
      { kind: 'line', from: [at, top], to: [at, bottom], stroke: palette.rule, dash: '1 5' },
      write(at + 4, view.byPasses ? HEIGHT - 14 : top + 12, `pass ${n}`, small),
    );
  }
  shapes.push(...drawDriftPlot(frame, lines));
  return formatDrawing({ width: WIDTH, height: HEIGHT, shapes }, 'Drift over time, in cents');
}

/** A value at the edge of a range if it is beyond. */
function toWithin(cents: number | null, { low, high }: { low: number; high: number }): number | null {
  return cents === null ? null : Math.max(low, Math.min(high, cents));
}
