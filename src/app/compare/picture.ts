import {
  COMMA_CENTS,
  COURSE_DASHES,
  drawCourse,
  formatCommas,
  formatDrawing,
  type Shape,
  spread,
  toCommaRules,
  toTicks,
  write,
} from '../../core/drawing/index.js';
import type { Comparison, Version, VersionName } from './versions.js';

/** How a version is drawn: never by colour alone. */
interface Pen {
  readonly colour: string;
  readonly dash: readonly number[];
}

/** Dark enough on the paper for a slide; the dashes tell them apart without colour. */
const PENS: Readonly<Record<VersionName, Pen>> = {
  equal: { colour: '#565d6b', dash: [1, 4] },
  free: { colour: '#a63c06', dash: COURSE_DASHES.free },
  pull: { colour: '#00695c', dash: COURSE_DASHES.pull },
  anchored: { colour: '#0a4f8f', dash: COURSE_DASHES.anchored },
  temper: { colour: '#7a2f7d', dash: COURSE_DASHES.temper },
  live: { colour: '#6b5200', dash: [8, 3] },
  plan: { colour: '#6b5200', dash: [8, 3] },
};
const PAPER = '#f7f1e3';
const INK = '#1c2433';
const FAINT = '#565d6b';
const RULE = '#ddd3bd';
const SMALL = { size: 15, fill: FAINT } as const;

/** The picture's size, and where its sheets begin and end from left to right: whoever lays a pointer over it needs that. */
export const PICTURE = { width: 1200, height: 900, left: 80, right: 990 } as const;

/** One sheet of the picture: what is drawn over time, from the top of the picture down. */
interface Sheet {
  readonly title: string;
  readonly top: number;
  readonly height: number;
  readonly unit: string;
  readonly linesOf: (version: Version) => readonly Stroke[];
  /** Whether a version is drawn on it at all. */
  readonly has: (version: Version) => boolean;
  /** Always in view. */
  readonly least: readonly [low: number, high: number];
  readonly hasCommas: boolean;
}

interface Stroke {
  readonly atMs: number;
  readonly value: number | null;
}

const SHEETS: readonly Sheet[] = [
  {
    title: 'How far the music stands from home',
    top: 40,
    height: 330,
    unit: 'c',
    linesOf: ({ course }) => course.atMs.map((atMs, i) => ({ atMs, value: course.meanCents[i] })),
    has: () => true,
    least: [-COMMA_CENTS, COMMA_CENTS],
    hasCommas: true,
  },
  {
    title: 'What was added to everything that sounds',
    top: 430,
    height: 190,
    unit: 'c',
    // It stays where it is until the end.
    linesOf: ({ offset }) =>
      [...offset, { atMs: Number.POSITIVE_INFINITY, cents: offset.at(-1)?.cents ?? 0 }].map(
        ({ atMs, cents }) => ({ atMs, value: cents }),
      ),
    has: ({ name }) => name !== 'equal',
    least: [-COMMA_CENTS, COMMA_CENTS],
    hasCommas: true,
  },
  {
    title: 'How much of the harmony is pure',
    top: 680,
    height: 160,
    unit: '%',
    linesOf: ({ course }) => smooth(course.atMs, course.pure),
    has: () => true,
    least: [0, 100],
    hasCommas: false,
  },
];

/** The course of a piece in all its versions, as a picture that stands alone: SVG as text. */
export function toComparisonSvg(title: string, { lengthMs, versions }: Comparison): string {
  const { width, height } = PICTURE;
  const shapes: Shape[] = [
    { kind: 'box', x: 0, y: 0, width, height, fill: PAPER },
    write(width - 20, 24, title, { ...SMALL, anchor: 'end' }),
    ...SHEETS.flatMap((sheet) => drawSheet(sheet, lengthMs, versions)),
    ...drawTimes(lengthMs),
  ];
  const names = versions.map((version) => version.title).join(', ');
  return formatDrawing({ width, height, shapes }, `${title}: ${names}`);
}

function drawSheet(sheet: Sheet, lengthMs: number, versions: readonly Version[]): Shape[] {
  const drawn = versions.filter(sheet.has).map((version) => ({ version, line: sheet.linesOf(version) }));
  const values = drawn.flatMap(({ line }) => line.flatMap(({ value }) => (value === null ? [] : [value])));
  const low = Math.min(sheet.least[0], ...values);
  const high = Math.max(sheet.least[1], ...values);
  const { left, right } = PICTURE;
  const bottom = sheet.top + sheet.height;
  const x = (ms: number) => left + (Math.min(ms, lengthMs) / Math.max(lengthMs, 1)) * (right - left);
  const y = (value: number) => bottom - ((value - low) / (high - low)) * sheet.height;

  const shapes: Shape[] = [write(left, sheet.top - 14, sheet.title, { size: 18, fill: INK, italic: true })];
  for (const tick of toTicks({ low, high }, 6)) {
    const words = `${sheet.hasCommas ? formatSigned(tick) : tick} ${sheet.unit}`;
    shapes.push(
      { kind: 'line', from: [left, y(tick)], to: [right, y(tick)], stroke: tick === 0 ? INK : RULE },
      write(left - 8, y(tick) + 5, words, { ...SMALL, anchor: 'end' }),
    );
  }
  if (sheet.hasCommas) {
    for (const commas of toCommaRules({ low, high })) {
      const down = y(commas * COMMA_CENTS);
      shapes.push(
        { kind: 'line', from: [right, down], to: [right + 12, down], stroke: FAINT },
        write(PICTURE.width - 12, down + 5, formatCommas(commas), { size: 12, fill: FAINT, anchor: 'end' }),
      );
    }
  }
  const ends = drawn.map(({ line }) => y(line.findLast(({ value }) => value !== null)?.value ?? 0));
  const labels = spread(ends, 19, sheet.top, bottom);
  drawn.forEach(({ version, line }, i) => {
    const { colour, dash } = PENS[version.name];
    const points = line.map(({ atMs, value }) => (value === null ? null : ([x(atMs), y(value)] as const)));
    shapes.push(
      drawCourse(points, { stroke: colour, thick: 2.5, dash }),
      write(right + 16, labels[i] + 5, version.title, { size: 16, fill: colour, bold: true }),
    );
  });
  return shapes;
}

/** Percent, each the mean of the rows around it: single chords would only flicker. */
function smooth(atMs: readonly number[], shares: readonly (number | null)[]): Stroke[] {
  const reach = 4;
  return atMs.map((ms, i) => {
    const around = shares
      .slice(Math.max(0, i - reach), i + reach + 1)
      .filter((share): share is number => share !== null);
    const mean = around.reduce((sum, share) => sum + share, 0) / around.length;
    return { atMs: ms, value: around.length === 0 ? null : 100 * mean };
  });
}

function drawTimes(lengthMs: number): Shape[] {
  const seconds = lengthMs / 1000;
  const step = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800].find((one) => seconds / one <= 10) ?? 3600;
  const shapes: Shape[] = [];
  for (let at = 0; at <= seconds; at += step) {
    const x = PICTURE.left + (at / Math.max(seconds, 0.001)) * (PICTURE.right - PICTURE.left);
    const words =
      at < 60 && seconds < 60 ? `${at} s` : `${Math.floor(at / 60)}:${String(at % 60).padStart(2, '0')}`;
    shapes.push(write(x, 868, words, { ...SMALL, anchor: 'middle' }));
  }
  return shapes;
}

function formatSigned(value: number): string {
  return value < 0 ? `−${-value}` : value === 0 ? '0' : `+${value}`;
}
