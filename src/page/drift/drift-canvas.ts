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
import { type PassFact, STRATEGIES } from '../../core/protocol/index.js';
import type { DriftLine, SessionHistory } from '../state/session-history.js';
import type { Palette } from './drift-svg.js';
import { findMoment, formatAgo, toRange, toTimeTicks } from './scales.js';

/** What the plot shows beside the log. */
export interface PlotView {
  readonly nowSeconds: number;
  readonly spanSeconds: number;
  readonly leewayCents: number;
  readonly passes: readonly PassFact[];
}

/** The ends of the lines, for their labels. */
export interface LineEnd {
  readonly line: DriftLine;
  readonly cents: number;
  /** From the top of the plot's element, in pixels of the page. */
  readonly y: number;
}

/** Room beside the sheet for scales and labels. */
export interface PlotEdges {
  readonly left: number;
  readonly right: number;
}

const FONT = 'system-ui, sans-serif';

/** The drift curves on a canvas. Draws on request; stores only the picture. */
export class DriftCanvas {
  readonly #plot: uPlot;
  readonly #palette: Palette;
  readonly #edges: PlotEdges;
  readonly #fontSize: number;
  #view: PlotView = { nowSeconds: 0, spanSeconds: 60, leewayCents: 0, passes: [] };
  #range: CentsRange = { low: -COMMA_CENTS, high: COMMA_CENTS };

  /**
   * @param read called with the index in the log under the pointer, or null
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
    const first = findMoment(log.seconds, view.nowSeconds - view.spanSeconds);
    let [low, high] = [0, 0];
    for (const line of STRATEGIES) {
      for (let i = first; i < log.seconds.length; i++) {
        const cents = log[line][i];
        low = Math.min(low, cents);
        high = Math.max(high, cents);
      }
    }
    this.#range = toRange(low, high, view.leewayCents);
    const cut = <T>(column: readonly T[]) => column.slice(first);
    this.#plot.setData([cut(log.seconds), ...STRATEGIES.map((line) => cut(log[line]))] as uPlot.AlignedData);
  }

  /** Where the lines end. */
  ends(log: SessionHistory): LineEnd[] {
    return STRATEGIES.map((line) => {
      const cents = log[line].at(-1) ?? 0;
      return { line, cents, y: this.#plot.over.offsetTop + this.#plot.valToPos(cents, 'y') };
    });
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
        x: {
          time: false,
          range: () => [this.#view.nowSeconds - this.#view.spanSeconds, this.#view.nowSeconds],
        },
        y: { range: () => [this.#range.low, this.#range.high] },
      },
      axes: [
        {
          ...axis,
          size: 2.1 * this.#fontSize,
          gap: 4,
          grid: { show: false },
          splits: () => toTimeTicks(this.#view.spanSeconds).map((ago) => this.#view.nowSeconds - ago),
          values: (_plot, splits) => splits.map((at) => formatAgo(Math.round(this.#view.nowSeconds - at))),
        },
        {
          ...axis,
          size: this.#edges.left,
          gap: 6,
          grid: { show: false },
          splits: () => toTicks(this.#range, Math.max(4, Math.min(8, height / 45))),
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
        setCursor: [
          (plot) =>
            read(plot.cursor.left === undefined || plot.cursor.left < 0 ? null : (plot.cursor.idx ?? null)),
        ],
      },
    };
  }

  /** Everything under the lines: the band, the rules at whole commas, where loops started again, and home. */
  #drawSheet(plot: uPlot): void {
    const { ctx, bbox } = plot;
    const palette = this.#palette;
    const ratio = devicePixelRatio;
    const y = (cents: number) => plot.valToPos(cents, 'y', true);
    const right = bbox.left + bbox.width;
    const rule = (
      x1: number,
      y1: number,
      x2: number,
      y2: number,
      colour: string,
      width: number,
      dash: number[],
    ) => {
      ctx.beginPath();
      ctx.strokeStyle = colour;
      ctx.lineWidth = width * ratio;
      ctx.setLineDash(dash.map((length) => length * ratio));
      ctx.moveTo(x1, y1);
      ctx.lineTo(x2, y2);
      ctx.stroke();
    };
    ctx.save();
    ctx.fillStyle = palette.band;
    const { leewayCents } = this.#view;
    ctx.fillRect(bbox.left, y(leewayCents), bbox.width, y(-leewayCents) - y(leewayCents));
    ctx.font = `${this.#fontSize * ratio}px ${FONT}`;
    ctx.textAlign = 'right';
    ctx.textBaseline = 'middle';
    const edge = right + (this.#edges.right - 4) * ratio;
    // On a phone and on a large screen the labels need the room: bare numbers there, and on a large screen one of them
    // with its word.
    const isHall = this.#fontSize > 20;
    const isBare = isHall || this.#edges.right < 150;
    const rules = toCommaRules(this.#range, Math.max(2, bbox.height / ratio / (isHall ? 60 : 28)));
    for (const commas of rules) {
      const at = y(commas * COMMA_CENTS);
      if (at < bbox.top + (this.#fontSize * ratio) / 2) continue;
      rule(bbox.left, at, right, at, palette.rule, 1, []);
      const isWorded = !isBare || (isHall && commas === rules[0]);
      const words = isWorded ? formatCommas(commas) : formatCommas(commas).replace(/ .*/, '');
      ctx.fillStyle = palette.faint;
      ctx.fillText(words, edge, at);
    }
    ctx.textAlign = 'left';
    // For short passes their numbers would overlap, and then their marks.
    let freeX = -Infinity;
    let lastX = -Infinity;
    for (const { n, atMs } of this.#view.passes) {
      const seconds = atMs / 1000;
      if (n === 1 || seconds < this.#view.nowSeconds - this.#view.spanSeconds) continue;
      const x = plot.valToPos(seconds, 'x', true);
      if (x - lastX < 8 * ratio) continue;
      lastX = x;
      rule(x, bbox.top, x, bbox.top + bbox.height, palette.faint, 1, [1, 4]);
      if (x < freeX) continue;
      const words = bbox.width / ratio > 420 ? `pass ${n}` : String(n);
      freeX = x + ctx.measureText(words).width + 12 * ratio;
      if (freeX > right) continue;
      ctx.fillText(words, x + 4 * ratio, bbox.top + (0.7 * this.#fontSize + 2) * ratio);
    }
    rule(bbox.left, y(0), right, y(0), palette.ink, 1.25, []);
    ctx.restore();
  }
}
