import {
  type CentsRange,
  COMMA_CENTS,
  DRIFT_LINES,
  formatCommas,
  formatTick,
  toCommaRules,
  toTicks,
} from '../../core/drawing/index.js';
import { STRATEGIES, type Tuning } from '../../core/protocol/index.js';
import type { DriftLine, SessionHistory } from '../state/session-history.js';
import type { Palette } from './drift-svg.js';
import type { PlotView } from './plot.js';
import { chooseExtent, type Extent, findMoment, formatAgo, toRange, toTimeTicks } from './scales.js';

/** The end of a line, for its label. */
export interface LineEnd {
  readonly line: Tuning;
  readonly cents: number;
  /** From the top of the plot's element, in pixels of the page; at the edge if the line has left the plot. */
  readonly y: number;
  /** Beyond which edge the line is. */
  readonly beyond: 'top' | 'bottom' | undefined;
}

/** Room beside the plot for scales and labels, in pixels of the page. */
export interface PlotEdges {
  readonly left: number;
  readonly right: number;
}

const FONT = 'system-ui, sans-serif';
/** From which room on commas have numbers, and words: in heights of a letter. */
const LETTERS = { bare: 10.9, worded: 16 } as const;
/** Room above the plot in pixels, and under it in heights of a letter. */
const TOP = 10;
const FOOT = 2.1;
/** A label of a pass is so many heights of a letter wide. */
const PASS_WIDTH = 4.5;

const BLANK: PlotView = {
  window: { from: 0, to: 60 },
  nowSeconds: 0,
  leewayCents: 0,
  passes: [],
  byPasses: false,
  lines: STRATEGIES,
  heard: 'equal',
  steps: [],
};

/** The drift curves on a canvas. Draws on request; stores only the picture. Sizes are in pixels of the page. */
export class DriftCanvas {
  readonly #canvas: HTMLCanvasElement;
  readonly #pen: CanvasRenderingContext2D;
  readonly #palette: Palette;
  readonly #edges: PlotEdges;
  readonly #fontSize: number;
  #width = 0;
  #height = 0;
  #view = BLANK;
  #range: CentsRange = { low: -COMMA_CENTS, high: COMMA_CENTS };

  constructor(element: HTMLElement, palette: Palette, edges: PlotEdges, fontSize: number) {
    this.#palette = palette;
    this.#edges = edges;
    this.#fontSize = fontSize;
    this.#canvas = document.createElement('canvas');
    this.#pen = this.#canvas.getContext('2d')!;
    element.append(this.#canvas);
    const { width, height } = element.getBoundingClientRect();
    this.resize(width, height);
  }

  resize(width: number, height: number): void {
    this.#width = width;
    this.#height = height;
    this.#canvas.width = Math.round(width * devicePixelRatio);
    this.#canvas.height = Math.round(height * devicePixelRatio);
  }

  destroy(): void {
    this.#canvas.remove();
  }

  /** @param reading the moment that is read, in seconds */
  draw(log: SessionHistory, view: PlotView, reading?: number): void {
    this.#view = view;
    const first = findMoment(log.seconds, view.window.from);
    const extents = new Map(view.lines.map((line) => [line, toExtent(log[line], first)]));
    const home: Extent = { low: -view.leewayCents, high: view.leewayCents };
    const heard = view.heard === 'equal' ? undefined : extents.get(view.heard);
    const others = view.lines.filter((line) => line !== view.heard).map((line) => extents.get(line)!);
    this.#range = toRange(chooseExtent(heard === undefined ? [home, ...others] : [heard, home, ...others]));
    const pen = this.#pen;
    pen.setTransform(devicePixelRatio, 0, 0, devicePixelRatio, 0, 0);
    pen.clearRect(0, 0, this.#width, this.#height);
    pen.font = `${this.#fontSize}px ${FONT}`;
    pen.textBaseline = 'middle';
    this.#drawSheet();
    pen.save();
    pen.beginPath();
    const { left, right, top, bottom } = this.#box;
    pen.rect(left, top, right - left, bottom - top);
    pen.clip();
    for (const line of view.lines) this.#drawLine(log, line, first);
    this.#drawSteps();
    if (reading !== undefined) this.#rule([this.#x(reading), top], [this.#x(reading), bottom], 'ink', 1);
    pen.restore();
  }

  /** Where the lines end: at their last point, or at the edge they have left the plot by. */
  ends(log: SessionHistory): LineEnd[] {
    const { lines, heard } = this.#view;
    const { low, high } = this.#range;
    const shown: Tuning[] = heard === 'equal' ? ['equal', ...lines] : [...lines];
    return shown.map((line) => {
      const cents = line === 'equal' ? 0 : (log[line].findLast((value) => value !== null) ?? 0);
      const beyond = cents < low ? 'bottom' : cents > high ? 'top' : undefined;
      return { line, cents, y: this.#y(Math.max(low, Math.min(high, cents))), beyond };
    });
  }

  /** The time under a point of the page, in seconds on the session's clock; undefined beside the plot. */
  timeAt(clientX: number): number | undefined {
    const { left, right } = this.#box;
    const share = (clientX - this.#canvas.getBoundingClientRect().left - left) / (right - left);
    const { from, to } = this.#view.window;
    return share < 0 || share > 1 ? undefined : from + share * (to - from);
  }

  get #box() {
    return {
      left: this.#edges.left,
      right: Math.max(this.#edges.left + 1, this.#width - this.#edges.right),
      top: TOP,
      bottom: Math.max(TOP + 1, this.#height - FOOT * this.#fontSize),
    };
  }

  #x(seconds: number): number {
    const { left, right } = this.#box;
    const { from, to } = this.#view.window;
    return left + ((seconds - from) / (to - from)) * (right - left);
  }

  #y(cents: number): number {
    const { top, bottom } = this.#box;
    const { low, high } = this.#range;
    return bottom - ((cents - low) / (high - low)) * (bottom - top);
  }

  #rule(from: Point, to: Point, colour: keyof Palette, width: number, dash: number[] = []): void {
    const pen = this.#pen;
    pen.beginPath();
    pen.strokeStyle = this.#palette[colour];
    pen.lineWidth = width;
    pen.setLineDash(dash);
    pen.moveTo(...from);
    pen.lineTo(...to);
    pen.stroke();
  }

  #write(words: string, x: number, y: number, align: CanvasTextAlign): void {
    this.#pen.fillStyle = this.#palette.faint;
    this.#pen.textAlign = align;
    this.#pen.fillText(words, x, y);
  }

  /** Everything under the lines: the band, the scales, the rules at whole commas, where passes began, and home. */
  #drawSheet(): void {
    const { left, right, top, bottom } = this.#box;
    const { leewayCents, passes, window } = this.#view;
    const size = this.#fontSize;
    const within = (y: number) => Math.max(top, Math.min(bottom, y));
    const band = [within(this.#y(leewayCents)), within(this.#y(-leewayCents))];
    this.#pen.fillStyle = this.#palette.band;
    this.#pen.fillRect(left, band[0], right - left, band[1] - band[0]);
    const height = bottom - top;
    for (const tick of toTicks(this.#range, Math.max(2, Math.min(8, height / (3 * size)))))
      this.#write(formatTick(tick), left - 6, this.#y(tick), 'right');
    const letters = this.#edges.right / size;
    for (const commas of toCommaRules(this.#range, Math.max(2, height / (2.3 * size)))) {
      const y = this.#y(commas * COMMA_CENTS);
      this.#rule([left, y], [right, y], 'rule', 1);
      // Where the labels of the lines need the room, bare numbers, or none.
      const words = formatCommas(commas);
      const shown = letters < LETTERS.worded ? words.replace(/ .*/, '') : words;
      if (letters >= LETTERS.bare && y > top + size / 2) this.#write(shown, this.#width - 4, y, 'right');
    }
    for (const { at, words } of this.#toTimeMarks())
      this.#write(words, this.#x(at), bottom + 1.1 * size, 'center');
    let lastX = -Infinity;
    for (const { n, atMs } of passes) {
      const x = this.#x(atMs / 1000);
      if (n === 1 || atMs / 1000 < window.from || x - lastX < 8) continue;
      lastX = x;
      this.#rule([x, top], [x, bottom], 'faint', 1, [1, 4]);
    }
    const home = this.#y(0);
    if (home >= top && home <= bottom) this.#rule([left, home], [right, home], 'ink', 1.25);
  }

  /** The marks of the time scale: beginnings of passes, or how long ago. */
  #toTimeMarks(): { at: number; words: string }[] {
    const { window, nowSeconds, passes, byPasses } = this.#view;
    if (!byPasses || passes.length === 0) {
      const span = window.to - window.from;
      return toTimeTicks(span).map((ago) => ({ at: nowSeconds - ago, words: formatAgo(Math.round(ago)) }));
    }
    const within = passes.filter(({ atMs }) => atMs / 1000 >= window.from - 0.001);
    const { left, right } = this.#box;
    const every = Math.ceil(within.length / Math.max(1, (right - left) / (PASS_WIDTH * this.#fontSize)));
    return within
      .filter((_, i) => i % every === 0)
      .map(({ n, atMs }) => ({ at: atMs / 1000, words: `pass ${n}` }));
  }

  #drawLine(log: SessionHistory, line: DriftLine, first: number): void {
    const pen = this.#pen;
    // Thicker on a large screen, as its letters are larger.
    const bold = Math.max(1, this.#fontSize / 14);
    pen.beginPath();
    pen.strokeStyle = this.#palette[line];
    pen.lineWidth = (line === this.#view.heard ? 3.5 : 2.5) * bold;
    pen.lineJoin = 'round';
    pen.setLineDash(DRIFT_LINES[line].dash.map((length) => length * bold));
    let isDown = false;
    for (let i = first; i < log.seconds.length; i++) {
      const cents = log[line][i];
      if (cents !== null) {
        const point: Point = [this.#x(log.seconds[i]), this.#y(cents)];
        if (isDown) pen.lineTo(...point);
        else pen.moveTo(...point);
      }
      isDown = cents !== null;
    }
    pen.stroke();
  }

  /** A triangle at each step of the heard line: there the music came back a comma away. */
  #drawSteps(): void {
    const { steps, window, heard } = this.#view;
    if (heard === 'equal') return;
    const pen = this.#pen;
    const size = 0.42 * this.#fontSize;
    pen.fillStyle = this.#palette[heard];
    for (const { seconds, cents } of steps) {
      if (seconds < window.from || seconds > window.to) continue;
      const [x, y] = [this.#x(seconds), this.#y(cents) - 2 * size];
      pen.beginPath();
      pen.moveTo(x, y + 1.4 * size);
      pen.lineTo(x - size, y - 0.4 * size);
      pen.lineTo(x + size, y - 0.4 * size);
      pen.fill();
    }
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
