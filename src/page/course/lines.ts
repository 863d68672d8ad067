import { COURSE_DASHES } from '../../core/drawing/index.js';
import type { CourseLine } from '../state/session-history.js';

/** How a course is drawn and what it is called; never by colour alone. */
export interface LineStyle {
  readonly line: CourseLine;
  /** Custom property that holds its colour. */
  readonly colour: string;
  /** Lengths of dashes and gaps in pixels of the page; none is solid. */
  readonly dash: readonly number[];
}

/** The courses, in the order of the books. */
export const LINES: readonly LineStyle[] = [
  { line: 'free', colour: '--free', dash: COURSE_DASHES.free },
  { line: 'pull', colour: '--pull', dash: COURSE_DASHES.pull },
  { line: 'anchored', colour: '--anchored', dash: COURSE_DASHES.anchored },
  { line: 'temper', colour: '--temper', dash: COURSE_DASHES.temper },
];
