import { breakWords, type Drawing, type Shape, shift, write } from '../drawing/index.js';
import { drawLatticePath } from './draw-lattice-path.js';
import { drawSystem } from './draw-system.js';
import { toFoundWords } from './found-words.js';
import { type LatticePath, toLatticePaths } from './lattice-path.js';
import { drawLegend } from './legend.js';
import type { Passage } from './passage.js';
import { PEN, SHEET_WIDTH } from './pen.js';
import { toSystems } from './systems.js';

/** The title of a sheet, and how its passage was tuned. */
export interface SheetHeads {
  readonly title: string;
  /** Which bars, and how it was tuned. */
  readonly lines: readonly string[];
}

/** The parts of a sheet, for a page that breaks anywhere between them. */
export interface SheetParts {
  /** Each with the numbers of its first and last chord. */
  readonly systems: readonly { readonly drawing: Drawing; readonly first: number; readonly last: number }[];
  readonly paths: readonly { readonly path: LatticePath; readonly drawing: Drawing }[];
  readonly legend: Drawing;
}

const LEAST_WIDTH = 760;
const MARGIN = 30;
const GAP = 26;
/** Room for the comma found, beside a path. */
const FOUND_WIDTH = 330;

/** Draws every part of a sheet. Widths are in the drawing's units. */
export function drawParts(passage: Passage, legendWidth: number, sheetWidth = SHEET_WIDTH): SheetParts {
  const systems = toSystems(passage, sheetWidth);
  return {
    systems: systems.map((system, i) => ({
      drawing: drawSystem(system, systems[i + 1]),
      first: system.columns[0].layout.column.number,
      last: system.columns.at(-1)!.layout.column.number,
    })),
    paths: toLatticePaths(passage, sheetWidth).map((path) => ({ path, drawing: drawLatticePath(path) })),
    legend: drawLegend(passage, legendWidth),
  };
}

/** A whole sheet as one tall picture. @param sheetWidth how wide the sheet is, in the drawing's units */
export function drawSheet(passage: Passage, heads: SheetHeads, sheetWidth = SHEET_WIDTH): Drawing {
  const { systems, paths } = drawParts(passage, LEAST_WIDTH, sheetWidth);
  const inner = Math.max(
    LEAST_WIDTH,
    ...systems.map(({ drawing }) => drawing.width),
    ...paths.map(({ drawing }) => drawing.width),
  );
  const shapes: Shape[] = [];
  let y = MARGIN;
  const put = (drawing: Drawing, x = 0) =>
    shapes.push(...drawing.shapes.map((shape) => shift(shape, MARGIN + x, y)));
  const putLines = (words: string, size: number, style: { bold?: boolean; fill?: string } = {}) => {
    for (const line of breakWords(words, size, inner, style.bold)) {
      y += size;
      shapes.push(write(MARGIN, y, line, { size, fill: PEN.ink, ...style }));
      y += 0.45 * size;
    }
  };
  putLines(heads.title, 28, { bold: true });
  for (const line of heads.lines) putLines(line, PEN.ratio, { fill: PEN.faint });
  y += GAP / 2;
  for (const { drawing } of systems) {
    put(drawing);
    y += drawing.height + GAP;
  }
  paths.forEach(({ drawing }, i) => {
    const isLast = i === paths.length - 1;
    const isBeside = isLast && inner - drawing.width - GAP >= FOUND_WIDTH;
    const found = isLast ? drawFound(passage, isBeside ? inner - drawing.width - GAP : inner) : undefined;
    put(drawing);
    if (found === undefined || !isBeside) y += drawing.height + GAP;
    if (found !== undefined) {
      put(found, isBeside ? drawing.width + GAP : 0);
      y += (isBeside ? Math.max(drawing.height, found.height) : found.height) + GAP;
    }
  });
  const legend = drawLegend(passage, inner);
  put(legend);
  y += legend.height + MARGIN;
  const width = inner + 2 * MARGIN;
  const paper: Shape = { kind: 'box', x: 0, y: 0, width, height: y, fill: PEN.paper };
  return { width, height: y, shapes: [paper, ...shapes] };
}

function drawFound(passage: Passage, width: number): Drawing {
  const { figure, title, lines, moved, way } = toFoundWords(passage);
  const shapes: Shape[] = [];
  let y = 0;
  const put = (words: string, size: number, bold = false, fill: string = PEN.ink) => {
    for (const line of breakWords(words, size, width, bold)) {
      y += size;
      shapes.push(write(0, y, line, { size, fill, bold }));
      y += 0.4 * size;
    }
  };
  put('The comma found', PEN.name, true);
  y += 4;
  if (figure !== undefined) put(figure, 34, true);
  put(title, PEN.name, figure === undefined);
  y += 6;
  for (const line of lines) put(line, PEN.ratio);
  y += 6;
  for (const line of [...moved, ...way]) put(line, PEN.small, false, PEN.faint);
  return { width, height: y, shapes };
}
