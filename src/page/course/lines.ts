import type { CourseLine } from '../state/logbook.js';

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
  { line: 'free', colour: '--free', dash: [] },
  { line: 'pull', colour: '--pull', dash: [14, 6] },
  { line: 'anchored', colour: '--anchored', dash: [2, 5] },
  { line: 'temper', colour: '--temper', dash: [16, 5, 3, 5] },
];
