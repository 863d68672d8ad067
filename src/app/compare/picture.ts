import { escapeText, spread } from '../../core/drawing/index.js';
import { PRIME_CENTS } from '../../core/theory/index.js';
import type { Comparison, Version, VersionName } from './versions.js';

/** How a version is drawn: never by colour alone. */
interface Pen {
  readonly colour: string;
  /** Lengths of dashes and gaps; none is solid. */
  readonly dash: string;
}

/** Dark enough on the paper for a slide; the dashes tell them apart without colour. */
const PENS: Readonly<Record<VersionName, Pen>> = {
  equal: { colour: '#565d6b', dash: '1 4' },
  free: { colour: '#a63c06', dash: '' },
  pull: { colour: '#00695c', dash: '14 6' },
  anchored: { colour: '#0a4f8f', dash: '2 5' },
  temper: { colour: '#7a2f7d', dash: '16 5 3 5' },
  plan: { colour: '#6b5200', dash: '8 3' },
};
const PAPER = '#f7f1e3';
const INK = '#1c2433';
const FAINT = '#565d6b';
const RULE = '#ddd3bd';
const COMMA_CENTS = 4 * PRIME_CENTS[1] - PRIME_CENTS[2] - 4 * PRIME_CENTS[0];

/** The picture's size, and where its sheets begin and end from left to right: whoever lays a pointer over it needs that. */
export const PICTURE = { width: 1200, height: 900, left: 80, right: 1010 } as const;

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
    linesOf: ({ course }) => course.atMs.map((atMs, i) => ({ atMs, value: course.bodyCents[i] })),
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
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${PICTURE.width} ${PICTURE.height}" font-family="system-ui, 'DejaVu Sans', sans-serif" font-size="15">`,
    `<title>${escapeText(title)}: ${versions.map((version) => version.title).join(', ')}</title>`,
    `<rect width="${PICTURE.width}" height="${PICTURE.height}" fill="${PAPER}"/>`,
    `<text x="${PICTURE.width - 20}" y="24" text-anchor="end" fill="${FAINT}">${escapeText(title)}</text>`,
    ...SHEETS.flatMap((sheet) => drawSheet(sheet, lengthMs, versions)),
    ...drawTimes(lengthMs),
    '</svg>',
  ];
  return parts.join('\n');
}

function drawSheet(sheet: Sheet, lengthMs: number, versions: readonly Version[]): string[] {
  const drawn = versions.filter(sheet.has).map((version) => ({ version, line: sheet.linesOf(version) }));
  const values = drawn.flatMap(({ line }) => line.flatMap(({ value }) => (value === null ? [] : [value])));
  const low = Math.min(sheet.least[0], ...values);
  const high = Math.max(sheet.least[1], ...values);
  const { left, right } = PICTURE;
  const bottom = sheet.top + sheet.height;
  const x = (ms: number) => round(left + (Math.min(ms, lengthMs) / Math.max(lengthMs, 1)) * (right - left));
  const y = (value: number) => round(bottom - ((value - low) / (high - low)) * sheet.height);

  const parts = [
    `<text x="${left}" y="${sheet.top - 14}" fill="${INK}" font-size="18" font-style="italic">${sheet.title}</text>`,
  ];
  for (const tick of toTicks(low, high)) {
    parts.push(
      `<line x1="${left}" y1="${y(tick)}" x2="${right}" y2="${y(tick)}" stroke="${tick === 0 ? INK : RULE}"/>`,
      `<text x="${left - 8}" y="${y(tick) + 5}" fill="${FAINT}" text-anchor="end">${sheet.hasCommas ? formatSigned(tick) : tick} ${sheet.unit}</text>`,
    );
  }
  if (sheet.hasCommas) {
    for (const commas of toCommaRules(low, high)) {
      const down = y(commas * COMMA_CENTS);
      parts.push(
        `<line x1="${right}" y1="${down}" x2="${right + 12}" y2="${down}" stroke="${FAINT}"/>`,
        `<text x="${PICTURE.width - 12}" y="${down + 5}" fill="${FAINT}" font-size="12" text-anchor="end">${formatSigned(commas)} comma${Math.abs(commas) === 1 ? '' : 's'}</text>`,
      );
    }
  }
  const ends = drawn.map(({ line }) => y(line.findLast(({ value }) => value !== null)?.value ?? 0));
  const labels = spread(ends, 19, sheet.top, bottom);
  drawn.forEach(({ version, line }, i) => {
    const { colour, dash } = PENS[version.name];
    const dashes = dash === '' ? '' : ` stroke-dasharray="${dash}"`;
    parts.push(
      `<path d="${toPath(line, x, y)}" fill="none" stroke="${colour}" stroke-width="2.5" stroke-linejoin="round"${dashes}/>`,
      `<text x="${right + 16}" y="${round(labels[i] + 5)}" fill="${colour}" font-size="16" font-weight="600">${version.title}</text>`,
    );
  });
  return parts;
}

/** The pen is lifted where there is nothing to draw. */
function toPath(line: readonly Stroke[], x: (ms: number) => number, y: (value: number) => number): string {
  let path = '';
  let isDown = false;
  for (const { atMs, value } of line) {
    if (value === null) {
      isDown = false;
      continue;
    }
    path += `${isDown ? 'L' : 'M'}${x(atMs)} ${y(value)}`;
    isDown = true;
  }
  return path;
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

function drawTimes(lengthMs: number): string[] {
  const seconds = lengthMs / 1000;
  const step = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800].find((one) => seconds / one <= 10) ?? 3600;
  const parts: string[] = [];
  for (let at = 0; at <= seconds; at += step) {
    const x = round(PICTURE.left + (at / Math.max(seconds, 0.001)) * (PICTURE.right - PICTURE.left));
    const text =
      at < 60 && seconds < 60 ? `${at} s` : `${Math.floor(at / 60)}:${String(at % 60).padStart(2, '0')}`;
    parts.push(`<text x="${x}" y="868" fill="${FAINT}" text-anchor="middle">${text}</text>`);
  }
  return parts;
}

/** About five round numbers of a scale. */
function toTicks(low: number, high: number): number[] {
  let step = 1;
  for (let power = 1; (high - low) / step > 6; power *= 10) {
    for (const digit of [1, 2, 5]) {
      step = digit * power;
      if ((high - low) / step <= 6) break;
    }
  }
  const ticks: number[] = [];
  for (let n = Math.ceil(low / step); n * step <= high; n++) ticks.push(n * step + 0);
  return ticks;
}

function toCommaRules(low: number, high: number): number[] {
  const step = Math.max(1, Math.ceil((high - low) / COMMA_CENTS / 8));
  const rules: number[] = [];
  for (let n = Math.ceil(low / COMMA_CENTS / step); n * step * COMMA_CENTS <= high; n++) {
    if (n !== 0) rules.push(n * step);
  }
  return rules;
}

function formatSigned(value: number): string {
  return value < 0 ? `−${-value}` : value === 0 ? '0' : `+${value}`;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
