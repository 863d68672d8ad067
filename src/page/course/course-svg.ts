import {
  COMMA_CENTS,
  drawCourse,
  formatCommas,
  formatDrawing,
  type Shape,
  spread,
  toCommaRules,
  toTicks,
  write,
} from '../../core/drawing/index.js';
import type { PassFact } from '../../core/protocol/index.js';
import { formatSigned } from '../../core/words/index.js';
import type { CourseLine, SessionHistory } from '../state/session-history.js';
import { LINES } from './lines.js';
import { findMoment, formatAgo, toRange, toTimeTicks } from './scales.js';

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
  readonly log: Pick<SessionHistory, 'seconds' | CourseLine>;
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
  const { left, top } = EDGE;
  const right = WIDTH - EDGE.right;
  const bottom = HEIGHT - EDGE.bottom;
  const x = (seconds: number) => left + ((Math.max(from, seconds) - from) / spanSeconds) * (right - left);
  const y = (cents: number) => top + ((range.high - cents) / (range.high - range.low)) * (bottom - top);
  const small = { size: 15, fill: palette.faint } as const;

  const shapes: Shape[] = [
    { kind: 'box', x: 0, y: 0, width: WIDTH, height: HEIGHT, fill: palette.paper },
    {
      kind: 'box',
      x: left,
      y: y(leewayCents),
      width: right - left,
      height: y(-leewayCents) - y(leewayCents),
      fill: palette.band,
    },
  ];
  for (const commas of toCommaRules(range)) {
    const down = y(commas * COMMA_CENTS);
    shapes.push(
      { kind: 'line', from: [left, down], to: [right, down], stroke: palette.rule },
      write(WIDTH - 12, down + 5, formatCommas(commas), { ...small, anchor: 'end' }),
    );
  }
  for (const cents of toTicks(range, 6)) {
    const words = formatSigned(cents).replace('.0', '');
    shapes.push(write(left - 10, y(cents) + 5, words, { ...small, anchor: 'end' }));
  }
  for (const ago of toTimeTicks(spanSeconds)) {
    shapes.push(write(x(nowSeconds - ago), HEIGHT - 14, formatAgo(ago), { ...small, anchor: 'middle' }));
  }
  let freeX = Number.NEGATIVE_INFINITY;
  for (const { n, atMs } of view.passes) {
    const at = x(atMs / 1000);
    if (atMs / 1000 < from || n === 1 || at < freeX) continue;
    freeX = at + 70;
    shapes.push(
      { kind: 'line', from: [at, top], to: [at, bottom], stroke: palette.rule, dash: '1 5' },
      write(at + 4, top + 12, `pass ${n}`, small),
    );
  }
  shapes.push({ kind: 'line', from: [left, y(0)], to: [right, y(0)], stroke: palette.ink, thick: 1.5 });
  const ends = LINES.map(({ line }) => log[line].findLast((cents) => cents !== null) ?? 0);
  const labels = spread(ends.map(y), 24, top + 8, bottom - 8);
  LINES.forEach(({ line, dash }, i) => {
    const points = log.seconds.slice(first).map((seconds, k) => {
      const cents = log[line][first + k];
      return cents === null ? null : ([x(seconds), y(cents)] as const);
    });
    shapes.push(
      drawCourse(points, { stroke: palette[line], thick: 3, dash }),
      write(right + 10, labels[i] + 6, `${line} ${formatSigned(ends[i])}`, {
        size: 18,
        fill: palette[line],
        bold: true,
      }),
    );
  });
  return formatDrawing({ width: WIDTH, height: HEIGHT, shapes }, 'Course of the drift, in cents from home');
}
