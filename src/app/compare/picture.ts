import {
  COMMA_CENTS,
  DRIFT_LINES,
  drawDriftPlot,
  formatDrawing,
  type LineStyle,
  type PlotLine,
  type Shape,
  write,
} from '../../core/drawing/index.js';
import type { PathPoint } from '../../core/score/index.js';
import { formatClock } from '../../core/words/index.js';
import type { Comparison, Version, VersionName } from './versions.js';

/** Dark enough on the paper for a slide; dashes distinguish them without colour. */
const LINES: Readonly<Record<VersionName, LineStyle>> = {
  ...DRIFT_LINES,
  equal: { colour: '#565d6b', dash: [1, 4] },
  live: { colour: '#6b5200', dash: [8, 3] },
  plan: { colour: '#6b5200', dash: [8, 3] },
};
const PAPER = '#f7f1e3';
const INK = '#1c2433';
const FAINT = '#565d6b';
const RULE = '#ddd3bd';
const SMALL = { size: 15, fill: FAINT } as const;

/** The picture's size, and the left and right edges of its sheets, for a pointer over it. */
export const PICTURE = { width: 1200, height: 900, left: 80, right: 990 } as const;

/** One sheet of the picture: a quantity over time; sheets are from the top of the picture down. */
interface Sheet {
  readonly title: string;
  readonly top: number;
  readonly height: number;
  readonly unit: 'c' | '%';
  readonly pointsOf: (version: Version) => PlotLine['points'];
  readonly has: (version: Version) => boolean;
  /** The least range in view. */
  readonly least: readonly [low: number, high: number];
}

const SHEETS: readonly Sheet[] = [
  {
    title: 'The drift: how far the music is from where it began',
    top: 40,
    height: 330,
    unit: 'c',
    pointsOf: ({ drift }) => toPoints(drift),
    has: () => true,
    least: [-COMMA_CENTS, COMMA_CENTS],
  },
  {
    title: 'What was added to everything that sounds',
    top: 430,
    height: 190,
    unit: 'c',
    pointsOf: ({ offset }) => toPoints(offset),
    has: ({ name }) => name !== 'equal',
    least: [-COMMA_CENTS, COMMA_CENTS],
  },
  {
    title: 'How much of the harmony is pure',
    top: 680,
    height: 160,
    unit: '%',
    pointsOf: ({ course }) => smooth(course.atMs, course.pure),
    has: () => true,
    least: [0, 100],
  },
];

/** The points of a path, which stays constant until the end. */
function toPoints(path: readonly PathPoint[]): PlotLine['points'] {
  const end = { atMs: Number.POSITIVE_INFINITY, cents: path.at(-1)?.cents ?? 0 };
  return [...path, end].map(({ atMs, cents }) => ({ at: atMs, value: cents }));
}

/** A piece in all its versions, as self-contained SVG text. */
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
  const { title, top, height, unit, least } = sheet;
  const { left, right, width } = PICTURE;
  const lines = versions.filter(sheet.has).map((version) => ({
    points: sheet.pointsOf(version),
    label: version.title,
    ...LINES[version.name],
  }));
  const values = lines.flatMap(({ points }) =>
    points.flatMap(({ value }) => (value === null ? [] : [value])),
  );
  const range = { low: Math.min(least[0], ...values), high: Math.max(least[1], ...values) };
  const place = { left, right, top, bottom: top + height, edge: width - 12, from: 0, to: lengthMs };
  return [
    write(left, top - 14, title, { size: 18, fill: INK, italic: true }),
    ...drawDriftPlot({ ...place, ...range, unit, ink: INK, faint: FAINT, rule: RULE }, lines),
  ];
}

/** Percent, each the mean of the rows around it: single chords would only flicker. */
function smooth(atMs: readonly number[], shares: readonly (number | null)[]): PlotLine['points'] {
  const reach = 4;
  return atMs.map((ms, i) => {
    const around = shares
      .slice(Math.max(0, i - reach), i + reach + 1)
      .filter((share): share is number => share !== null);
    const mean = around.reduce((sum, share) => sum + share, 0) / around.length;
    return { at: ms, value: around.length === 0 ? null : 100 * mean };
  });
}

function drawTimes(lengthMs: number): Shape[] {
  const seconds = lengthMs / 1000;
  const step = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800].find((one) => seconds / one <= 10) ?? 3600;
  const shapes: Shape[] = [];
  for (let at = 0; at <= seconds; at += step) {
    const x = PICTURE.left + (at / Math.max(seconds, 0.001)) * (PICTURE.right - PICTURE.left);
    const words = seconds < 60 ? `${at} s` : formatClock(1000 * at, 0);
    shapes.push(write(x, 868, words, { ...SMALL, anchor: 'middle' }));
  }
  return shapes;
}
