import { spread } from '../../core/drawing/index.js';
import type { PassFact } from '../../core/feed/index.js';
import type { CourseLine, Logbook } from '../state/logbook.js';
import { formatSigned } from '../words/numbers.js';
import { LINES } from './lines.js';
import {
  COMMA_CENTS,
  findMoment,
  formatAgo,
  toCentsTicks,
  toCommaRules,
  toRange,
  toTimeTicks,
} from './scales.js';

/** Colours of a picture, as the page has them now. */
export interface Palette {
  readonly paper: string;
  readonly ink: string;
  readonly faint: string;
  readonly rule: string;
  readonly band: string;
  readonly free: string;
  readonly pull: string;
  readonly anchored: string;
  readonly temper: string;
}

/** What a picture of the course shows. */
export interface CourseView {
  readonly log: Pick<Logbook, 'seconds' | CourseLine>;
  readonly nowSeconds: number;
  readonly spanSeconds: number;
  readonly leewayCents: number;
  readonly passes: readonly PassFact[];
}

const WIDTH = 1200;
const HEIGHT = 600;
const EDGE = { left: 70, right: 190, top: 24, bottom: 44 };

/** The course as a picture that stands alone, to be saved: SVG as text, colours and all. */
export function toCourseSvg(view: CourseView, palette: Palette): string {
  const { log, nowSeconds, spanSeconds, leewayCents } = view;
  const from = nowSeconds - spanSeconds;
  const first = findMoment(log.seconds, from);
  const shown = LINES.flatMap(({ line }) => log[line].slice(first)).filter((cents) => cents !== null);
  const range = toRange(Math.min(0, ...shown), Math.max(0, ...shown), leewayCents);
  const right = WIDTH - EDGE.right;
  const bottom = HEIGHT - EDGE.bottom;
  const x = (seconds: number) => round(EDGE.left + ((seconds - from) / spanSeconds) * (right - EDGE.left));
  const y = (cents: number) =>
    round(EDGE.top + ((range.high - cents) / (range.high - range.low)) * (bottom - EDGE.top));
  const text = (at: number, down: number, words: string, more = '') =>
    `<text x="${at}" y="${down}" fill="${palette.faint}" font-size="15" ${more}>${words}</text>`;
  const line = (x1: number, y1: number, x2: number, y2: number, colour: string, more = '') =>
    `<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}" stroke="${colour}" ${more}/>`;

  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="system-ui, sans-serif">`,
    '<title>Course of the drift, in cents from home</title>',
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="${palette.paper}"/>`,
    `<rect x="${EDGE.left}" y="${y(leewayCents)}" width="${right - EDGE.left}" height="${round(y(-leewayCents) - y(leewayCents))}" fill="${palette.band}"/>`,
  ];
  for (const commas of toCommaRules(range)) {
    const down = y(commas * COMMA_CENTS);
    parts.push(line(EDGE.left, down, right, down, palette.rule));
    parts.push(text(WIDTH - 12, down + 5, `${formatCommas(commas)}`, 'text-anchor="end"'));
  }
  for (const cents of toCentsTicks(range, 6)) {
    parts.push(
      text(EDGE.left - 10, y(cents) + 5, formatSigned(cents).replace('.0', ''), 'text-anchor="end"'),
    );
  }
  for (const ago of toTimeTicks(spanSeconds)) {
    parts.push(text(x(nowSeconds - ago), HEIGHT - 14, formatAgo(ago), 'text-anchor="middle"'));
  }
  let freeX = Number.NEGATIVE_INFINITY;
  for (const { n, atMs } of view.passes) {
    const at = x(atMs / 1000);
    if (atMs / 1000 < from || n === 1 || at < freeX) continue;
    freeX = at + 70;
    parts.push(line(at, EDGE.top, at, bottom, palette.rule, 'stroke-dasharray="1 5"'));
    parts.push(text(at + 4, EDGE.top + 12, `pass ${n}`));
  }
  parts.push(line(EDGE.left, y(0), right, y(0), palette.ink, 'stroke-width="1.5"'));
  const ends = LINES.map(({ line: name }) => log[name].findLast((cents) => cents !== null) ?? 0);
  const labels = spread(ends.map(y), 24, EDGE.top + 8, bottom - 8);
  LINES.forEach(({ line: name, dash }, i) => {
    const dashes = dash.length === 0 ? '' : `stroke-dasharray="${dash.join(' ')}"`;
    const d = toPath(log.seconds, log[name], first, from, x, y);
    parts.push(
      `<path d="${d}" fill="none" stroke="${palette[name]}" stroke-width="3" stroke-linejoin="round" ${dashes}/>`,
    );
    parts.push(
      `<text x="${right + 10}" y="${round(labels[i] + 6)}" fill="${palette[name]}" font-size="18" font-weight="600">${name} ${formatSigned(ends[i])}</text>`,
    );
  });
  parts.push('</svg>');
  return parts.join('\n');
}

/** A line of the course as an SVG path, the pen lifted where nothing sounded. */
function toPath(
  seconds: readonly number[],
  cents: readonly (number | null)[],
  first: number,
  from: number,
  x: (seconds: number) => number,
  y: (cents: number) => number,
): string {
  let d = '';
  let down = false;
  for (let i = first; i < seconds.length; i++) {
    const value = cents[i];
    if (value === null) {
      down = false;
      continue;
    }
    d += `${down ? 'L' : 'M'}${x(Math.max(from, seconds[i]))} ${y(value)}`;
    down = true;
  }
  return d;
}

/** A rule of the right scale. @example formatCommas(-2)  // '−2 commas' */
export function formatCommas(commas: number): string {
  const size = Math.abs(commas);
  return `${commas < 0 ? '−' : '+'}${size} comma${size === 1 ? '' : 's'}`;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
