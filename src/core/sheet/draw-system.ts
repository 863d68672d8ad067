import { type Drawing, type Place, type Shape, shift, toTextWidth, write } from '../drawing/index.js';
import { type ColumnLayout, toStaffY } from './column-layout.js';
import type { SheetNote } from './columns.js';
import { drawArrows, drawHeads, drawRows } from './draw-notes.js';
import { drawLedgers, drawStaff } from './draw-staff.js';
import { PEN } from './pen.js';
import { CLEF_WIDTH, type System } from './systems.js';

const HEAD_HEIGHT = 44;
const FOOT_LINE = 21;
const FOOT_HEIGHT = 3 * FOOT_LINE + 8;

/**
 * Draws a system: staves and bar lines, then ties and arrows, then words and heads over them.
 * @param next the following system, for ties into it
 */
export function drawSystem(system: System, next: System | undefined): Drawing {
  const { columns, staves, width, top, bottom } = system;
  const shapes: Shape[] = staves.flatMap((staff) => drawStaff(staff, width));
  const ys = staves.flatMap(({ lowest }) => [toStaffY(lowest), toStaffY(lowest + 8)]);
  const [high, low] = [Math.min(...ys), Math.max(...ys)];
  const drawBar = (x: number) =>
    shapes.push({ kind: 'line', from: [x, high], to: [x, low], stroke: PEN.faint, thick: 1.4 });
  drawBar(0.7);
  columns.forEach(({ layout, x }, i) => {
    if (i > 0 && layout.column.startsBar)
      drawBar(x - (x - columns[i - 1].x - columns[i - 1].layout.width) / 2);
  });
  drawBar(width - 0.7);

  const place = (x: number, drawn: readonly Shape[]) =>
    shapes.push(...drawn.map((shape) => shift(shape, x, 0)));
  for (const { layout, x } of columns) place(x, drawLedgers(layout, staves));
  shapes.push(...drawTies(system, next));
  for (const { layout, x } of columns) place(x, drawArrows(layout));
  for (const { layout, x } of columns) {
    place(x, drawRows(layout));
    place(x, drawHeads(layout));
    place(x, drawHead(layout.column, top));
  }
  shapes.push(...drawFeet(system));
  const height = HEAD_HEIGHT + (bottom - top) + FOOT_HEIGHT;
  return { width, height, shapes: shapes.map((shape) => shift(shape, 0, HEAD_HEIGHT - top)) };
}

/** The chord's number in a ring, and its place in the metre. */
function drawHead({ number, bar, beat, startsBar }: ColumnLayout['column'], top: number): Shape[] {
  const y = top - HEAD_HEIGHT + 16;
  const wide = Math.max(11, toTextWidth(String(number), PEN.small, true) / 2 + 5);
  const place = `${startsBar ? `bar ${bar}, ` : ''}beat ${Math.round(beat * 100) / 100}`;
  return [
    { kind: 'oval', x: 16 + wide, y, radiusX: wide, radiusY: 11, fill: PEN.ink },
    write(16 + wide, y + 4.5, String(number), {
      size: PEN.small,
      fill: PEN.paper,
      anchor: 'middle',
      bold: true,
    }),
    write(16 + 2 * wide + 6, y + 4.5, place, { size: PEN.small, fill: PEN.faint }),
  ];
}

function drawFeet({ columns, bottom }: System): Shape[] {
  const rows = [1, 2, 3].map((n) => bottom + n * FOOT_LINE);
  const small = { size: PEN.small, fill: PEN.faint } as const;
  const shapes: Shape[] = ['proportion', 'drift', 'from home, c'].map((words, i) =>
    write(0, rows[i], words, small),
  );
  for (const { layout, x } of columns) {
    const { proportion, drift, fromHome } = layout.foot;
    const hasDrifted = drift !== '1/1';
    const words = { size: PEN.ratio, fill: PEN.ink } as const;
    if (proportion !== '') shapes.push(write(x + 16, rows[0], proportion, { ...words, bold: true }));
    shapes.push(
      write(x + 16, rows[1], drift, { ...words, fill: hasDrifted ? PEN.ink : PEN.faint }),
      write(x + 16, rows[2], fromHome, words),
    );
  }
  return shapes;
}

/** Ties, from the end of a note's words to its head in the next chord; at the edge of a system they are cut in two. */
function drawTies({ columns, width }: System, next: System | undefined): Shape[] {
  const shapes: Shape[] = [];
  columns.forEach(({ layout, x }, i) => {
    for (const { note, left, y } of layout.notes) {
      if (note.presence === 'struck') continue;
      const before = i > 0 ? findTieStart(columns[i - 1], note) : undefined;
      const from = before ?? { x: CLEF_WIDTH - 20, y };
      shapes.push(drawTie(from.x, from.y, x + left - 2, y, note.presence === 'pedalled'));
    }
  });
  for (const { note } of next?.columns[0].layout.notes ?? []) {
    const from = findTieStart(columns[columns.length - 1], note);
    if (from === undefined) continue;
    shapes.push(drawTie(from.x, from.y, Math.max(width, from.x + 12), from.y, note.presence === 'pedalled'));
  }
  return shapes;
}

/** Where a note's words end in the chord it is tied over from; undefined if it isn't. */
function findTieStart({ layout, x }: System['columns'][number], { tiedFrom }: SheetNote): Place | undefined {
  if (tiedFrom === undefined) return undefined;
  const from = layout.notes[tiedFrom];
  return { x: x + from.right + 3, y: from.rowY };
}

/** It sags a little, so that it doesn't look like a line of the staff. */
function drawTie(x1: number, y1: number, x2: number, y2: number, isPedalled: boolean): Shape {
  const sag = Math.min(6, (x2 - x1) / 6);
  const reach = (x2 - x1) / 4;
  return {
    kind: 'path',
    steps: [
      ['M', x1, y1],
      ['C', x1 + reach, y1 + sag, x2 - reach, y2 + sag, x2, y2],
    ],
    stroke: PEN.ink,
    thick: 2.2,
    ...(isPedalled ? { dash: '2 4' } : {}),
  };
}
