import { type ColumnLayout, layOutColumn, toStaffY } from './column-layout.js';
import type { Passage } from './passage.js';
import { PEN, SHEET_WIDTH } from './pen.js';

/** A row of chords on common staves. */
export interface System {
  readonly columns: readonly { readonly layout: ColumnLayout; readonly x: number }[];
  readonly width: number;
  /** Its staves, and its extent from middle C's line, counted down. */
  readonly staves: readonly Staff[];
  readonly top: number;
  readonly bottom: number;
}

/** A staff of five lines: the place of its lowest line in steps from C0. */
export interface Staff {
  readonly clef: 'treble' | 'bass';
  readonly lowest: number;
}

/** Room before the first chord: the clef, and the labels of the lines below. */
export const CLEF_WIDTH = 86;

/** E4 and G2. */
const TREBLE: Staff = { clef: 'treble', lowest: 30 };
const BASS: Staff = { clef: 'bass', lowest: 18 };
const MIDDLE_C_STEP = 28;

/** A system may be this much wider than a sheet where that saves one: then all are drawn a little smaller. */
const STRETCH = 1.18;

/**
 * Breaks a passage into systems about as wide as each other, and no wider than a sheet, or hardly so, unless one chord
 * alone is. All but the last are spread to the full width. Widths are in the drawing's units.
 */
export function toSystems({ columns, hasLeaning }: Passage, sheetWidth = SHEET_WIDTH): System[] {
  const layouts = columns.map((column) => layOutColumn(column, hasLeaning));
  const widths = layouts.map(({ width }) => width);
  const [plain, stretched] = [sheetWidth, sheetWidth * STRETCH].map((width) =>
    toLines(widths, width - CLEF_WIDTH),
  );
  const count = Math.min(plain.length, stretched.length);
  // The least width that needs no more lines.
  let [low, high] = [0, (stretched.length < plain.length ? STRETCH : 1) * sheetWidth - CLEF_WIDTH];
  while (high - low > 1) {
    const middle = (low + high) / 2;
    if (toLines(widths, middle).length > count) low = middle;
    else high = middle;
  }
  const lines = toLines(widths, high).map(([from, to]) => layouts.slice(from, to));
  const full = Math.max(...lines.map((line) => line.reduce((sum, { width }) => sum + width, CLEF_WIDTH)));
  const staves = toStaves(columns.flatMap(({ notes }) => notes.map(({ staffStep }) => staffStep)));
  return lines.map((line, i) => toSystem(line, staves, i < lines.length - 1 ? full : 0));
}

/** Puts as many chords on each line as there is room for. */
function toLines(widths: readonly number[], room: number): [from: number, to: number][] {
  const lines: [number, number][] = [];
  let left = 0;
  widths.forEach((width, i) => {
    const line = lines.at(-1);
    if (line === undefined || width > left) {
      lines.push([i, i + 1]);
      left = room - width;
    } else {
      line[1] = i + 1;
      left -= width;
    }
  });
  return lines;
}

function toStaves(steps: readonly number[]): Staff[] {
  const staves: Staff[] = [];
  if (steps.some((step) => step >= MIDDLE_C_STEP)) staves.push(TREBLE);
  // Middle C alone needs no second staff.
  if (steps.some((step) => step < MIDDLE_C_STEP)) staves.push(BASS);
  return staves;
}

/**
 * @param full its least width
 */
function toSystem(line: readonly ColumnLayout[], staves: readonly Staff[], full: number): System {
  const natural = CLEF_WIDTH + line.reduce((sum, { width }) => sum + width, 0);
  const width = Math.max(full, natural);
  const extra = (width - natural) / Math.max(1, line.length);
  let x = CLEF_WIDTH;
  const columns = line.map((layout) => {
    const placed = { layout, x: x + extra / 2 };
    x += layout.width + extra;
    return placed;
  });
  const lines = staves.flatMap(({ lowest }) => [toStaffY(lowest), toStaffY(lowest + 8)]);
  return {
    columns,
    width,
    staves,
    // The treble clef reaches beyond its lines.
    top: Math.min(...lines.map((y) => y - 2 * PEN.step), ...line.map(({ top }) => top)),
    bottom: Math.max(...lines.map((y) => y + 2 * PEN.step), ...line.map(({ bottom }) => bottom)),
  };
}
