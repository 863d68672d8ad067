import uPlot from 'uplot';
import {
  type CentsRange,
  COMMA_CENTS,
  DRIFT_LINES,
  formatCommas,
  formatTick,
  toCommaRules,
  toTicks,
} from '../../core/drawing/index.js';
import { type PassFact, STRATEGIES, type Tuning } from '../../core/protocol/index.js';
import type { DriftLine, SessionHistory } from '../state/session-history.js';
import type { Palette } from './drift-svg.js';
import {
  chooseExtent,
  type Extent,
  findMoment,
  formatAgo,
  type TimeWindow,
  toRange,
  toTimeTicks,
} from './scales.js';

/** A step of the drift: when, and where it led to. */
export interface StepMark {
  readonly seconds: number;
  readonly cents: number;
}

/** What the plot shows beside the log. */
export interface PlotView {
  readonly window: TimeWindow;
  readonly nowSeconds: number;
  readonly leewayCents: number;
  readonly passes: readonly PassFact[];
  /** Marks passes along the time scale, not how long ago. */
  readonly byPasses: boolean;
  readonly lines: readonly DriftLine[];
  readonly heard: Tuning;
  /** Steps of the heard line. */
  readonly steps: readonly StepMark[];
}

/** The end of a line, for its label. */
export interface LineEnd {
  readonly line: Tuning;
  readonly cents: number;
  /** From the top of the plot's element, in pixels of the page; at the edge if the line has left the plot. */
  readonly y: number;
  /** Beyond which edge the line is. */
  readonly beyond: 'top' | 'bottom' | undefined;
}

/** Room beside the sheet for scales and labels. */
export interface PlotEdges {
  readonly left: number;
  readonly right: number;
}

const FONT = 'system-ui, sans-serif';
/** From which room on commas have numbers, and words: in heights of a letter. */
const LETTERS = { bare: 10.9, worded: 16 } as const;

/** The drift curves on a canvas. Draws on request; stores only the picture. */
export class DriftCanvas {
  readonly #plot: uPlot;
  readonly #palette: Palette;
  readonly #edges: PlotEdges;
  readonly #fontSize: number;
  #view: PlotView = {
    window: { from: 0, to: 60 },
    nowSeconds: 0,
    leewayCents: 0,
    passes: [],
    byPasses: false,
    lines: STRATEGIES,
    heard: 'equal',
    steps: [],
  };
  #range: CentsRange = { low: -COMMA_CENTS, high: COMMA_CENTS };

  /**
   * @param read called with the index in the log under the pointer, counted from the window's first, or null
   */
  constructor(
    element: HTMLElement,
    palette: Palette,
    edges: PlotEdges,
    fontSize: number,
    read: (index: number | null) => void,
  ) {
    this.#palette = palette;
    this.#edges = edges;
    this.#fontSize = fontSize;
    const { width, height } = element.getBoundingClientRect();
    this.#plot = new uPlot(
      this.#options(Math.max(50, width), Math.max(50, height), read),
      [[], ...STRATEGIES.map(() => [])],
      element,
    );
  }

  draw(log: SessionHistory, view: PlotView): void {
    this.#view = view;
    const first = findMoment(log.seconds, view.window.from);
    const extents = new Map(view.lines.map((line) => [line, toExtent(log[line], first)]));
    const home: Extent = { low: -view.leewayCents, high: view.leewayCents };
    const heard = view.heard === 'equal' ? undefined : extents.get(view.heard);
    const others = view.lines.filter((line) => line !== view.heard).map((line) => extents.get(line)!);
    this.#range = toRange(chooseExtent(heard === undefined ? [home, ...others] : [heard, home, ...others]));
    const cut = <T>(column: readonly T[]) => column.slice(first);
    const none = log.seconds.slice(first).map(() => null);
    this.#plot.setData([
      cut(log.seconds),
      ...STRATEGIES.map((line) => (view.lines.includes(line) ? cut(log[line]) : none)),
    ] as uPlot.AlignedData);
  }

  /** Where the lines end: at their last point, or at the edge they have left the plot by. */
  ends(log: SessionHistory): LineEnd[] {
    const { lines, heard } = this.#view;
    const { over } = this.#plot;
    const shown: Tuning[] = heard === 'equal' ? ['equal', ...lines] : [...lines];
    return shown.map((line) => {
      const cents = line === 'equal' ? 0 : (log[line].findLast((value) => value !== null) ?? 0);
      const beyond = cents < this.#range.low ? 'bottom' : cents > this.#range.high ? 'top' : undefined;
      const within = Math.max(this.#range.low, Math.min(this.#range.high, cents));
      return { line, cents, y: over.offsetTop + this.#plot.valToPos(within, 'y'), beyond };
    });
  }

  /** The time under a point of the page, in seconds on the session's clock; undefined beside the plot. */
  timeAt(clientX: number): number | undefined {
    const { left, width } = this.#plot.over.getBoundingClientRect();
    const share = (clientX - left) / width;
    const { from, to } = this.#view.window;
    return share < 0 || share > 1 ? undefined : from + share * (to - from);
  }

  /** Puts the reading line at a moment, in seconds, or removes it. */
  point(seconds: number | null): void {
    const left = seconds === null ? -10 : this.#plot.valToPos(seconds, 'x');
    this.#plot.setCursor({ left, top: 0 }, false);
  }

  resize(width: number, height: number): void {
    this.#plot.setSize({ width, height });
  }

  destroy(): void {
    this.#plot.destroy();
  }

  #options(width: number, height: number, read: (index: number | null) => void): uPlot.Options {
    const palette = this.#palette;
    const font = `${this.#fontSize}px ${FONT}`;
    // Thicker on a large screen, as its letters are larger.
    const bold = Math.max(1, this.#fontSize / 14);
    const axis = { stroke: palette.faint, font, ticks: { show: false }, border: { show: false } };
    return {
      width,
      height,
      padding: [10, this.#edges.right, 0, 0],
      legend: { show: false },
      cursor: { y: false, drag: { x: false, y: false }, points: { size: 9 } },
      scales: {
        x: { time: false, range: () => [this.#view.window.from, this.#view.window.to] },
        y: { range: () => [this.#range.low, this.#range.high] },
      },
      axes: [
        {
          ...axis,
          size: 2.1 * this.#fontSize,
          gap: 4,
          grid: { show: false },
          splits: () => this.#toTimeSplits().map(({ at }) => at),
          values: () => this.#toTimeSplits().map(({ words }) => words),
        },
        {
          ...axis,
          size: this.#edges.left,
          gap: 6,
          grid: { show: false },
          splits: (plot) =>
            toTicks(this.#range, Math.max(2, Math.min(8, plot.height / (3 * this.#fontSize)))),
          values: (_plot, splits) => splits.map(formatTick),
        },
      ],
      series: [
        {},
        ...STRATEGIES.map((line) => ({
          stroke: palette[line],
          width: 2.5 * bold,
          dash: DRIFT_LINES[line].dash.map((length) => length * bold),
          spanGaps: false,
          points: { show: false },
        })),
      ],
      hooks: {
        drawClear: [(plot) => this.#drawSheet(plot)],
        draw: [(plot) => this.#drawSteps(plot)],
        setCursor: [
          (plot) =>
            read(plot.cursor.left === undefined || plot.cursor.left < 0 ? null : (plot.cursor.idx ?? null)),
        ],
      },
    };
  }

  /** The marks of the time scale: beginnings of passes, or how long ago. */
  #toTimeSplits(): { at: number; words: string }[] {
    const { window, nowSeconds, passes, byPasses } = this.#view;
    if (!byPasses || passes.length === 0)
      return toTimeTicks(window.to - window.from).map((ago) => ({
        at: nowSeconds - ago,
        words: formatAgo(ago),
      }));
    const within = passes.filter(({ atMs }) => atMs / 1000 >= window.from - 0.001);
    // A label is some five letters wide.
    const most = Math.max(1, this.#plot.over.clientWidth / (4.5 * this.#fontSize));
    const every = Math.ceil(within.length / most);
    return within
      .filter((_, i) => i % every === 0)
      .map(({ n, atMs }) => ({ at: atMs / 1000, words: `pass ${n}` }));
  }

  /** Everything under the lines: the band, the rules at whole commas, where passes began, and home. */
  #drawSheet(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const palette = this.#palette;
    const ratio = devicePixelRatio;
    const y = (cents: number) => plot.valToPos(cents, 'y', true);
    const right = bbox.left + bbox.width;
    const rule = (from: Point, to: Point, colour: string, width: number, dash: number[] = []) => {
      ctx.beginPath();
      ctx.strokeStyle = colour;
      ctx.lineWidth = width * ratio;
      ctx.setLineDash(dash.map((length) => length * ratio));
      ctx.moveTo(...from);
      ctx.lineTo(...to);
      ctx.stroke();
    };
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.fillStyle = palette.band;
    const { leewayCents, passes, window } = this.#view;
    const [top, bottom] = [leewayCents, -leewayCents].map((cents) =>
      Math.max(bbox.top, Math.min(bbox.top + bbox.height, y(cents))),
    );
    ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
    ctx.font = `${this.#fontSize * ratio}px ${FONT}`;
    ctx.textAlign = 'right';
    ctx.textBaseline = 'middle';
    const edge = right + (this.#edges.right - 4) * ratio;
    // Where the labels of the lines need the room, bare numbers, or none.
    const letters = this.#edges.right / this.#fontSize;
    const rules = toCommaRules(this.#range, Math.max(2, bbox.height / ratio / (2.3 * this.#fontSize)));
    for (const commas of rules) {
      const at = y(commas * COMMA_CENTS);
      if (at < bbox.top + (this.#fontSize * ratio) / 2) continue;
      rule([bbox.left, at], [right, at], palette.rule, 1);
      if (letters < LETTERS.bare) continue;
      ctx.fillStyle = palette.faint;
      const words = formatCommas(commas);
      ctx.fillText(letters < LETTERS.worded ? words.replace(/ .*/, '') : words, edge, at);
    }
    let lastX = -Infinity;
    for (const { n, atMs } of passes) {
      const seconds = atMs / 1000;
      if (n === 1 || seconds < window.from) continue;
      const x = plot.valToPos(seconds, 'x', true);
      if (x - lastX < 8 * ratio) continue;
      lastX = x;
      rule([x, bbox.top], [x, bbox.top + bbox.height], palette.faint, 1, [1, 4]);
    }
    if (this.#range.low < 0 && this.#range.high > 0)
      rule([bbox.left, y(0)], [right, y(0)], palette.ink, 1.25);
    ctx.restore();
  }

  /** A triangle at each step of the heard line: there the music came back a comma away. */
  #drawSteps(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const { steps, window, heard } = this.#view;
    if (heard === 'equal') return;
    const size = 0.42 * this.#fontSize * devicePixelRatio;
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.clip();
    ctx.fillStyle = this.#palette[heard];
    for (const { seconds, cents } of steps) {
      if (seconds < window.from || seconds > window.to) continue;
      const [x, y] = [plot.valToPos(seconds, 'x', true), plot.valToPos(cents, 'y', true) - 2 * size];
      ctx.beginPath();
      ctx.moveTo(x, y + 1.4 * size);
      ctx.lineTo(x - size, y - 0.4 * size);
      ctx.lineTo(x + size, y - 0.4 * size);
      ctx.fill();
    }
    ctx.restore();
  }
}

type Point = [x: number, y: number];

/** The lowest and highest value of a column from an index on; home if it has none. */
function toExtent(column: readonly (number | null)[], first: number): Extent {
  let [low, high] = [Infinity, -Infinity];
  for (let i = first; i < column.length; i++) {
    const cents = column[i];
    if (cents === null) continue;
    low = Math.min(low, cents);
    high = Math.max(high, cents);
  }
  return low === Infinity ? { low: 0, high: 0 } : { low, high };
}
