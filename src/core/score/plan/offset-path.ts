/** One moment of a course to be found: where it wants to stand, and what moving there from the moment before means. */
export interface CourseStep {
  /** Where it would stand at home, and how much that counts. */
  readonly homeCents: number;
  readonly homeWeight: number;
  /** By how much it would move from the moment before, and how much that counts. Of no account for the first. */
  readonly moveCents: number;
  readonly moveWeight: number;
}

/** So that a course nobody has a wish for stands still instead of nowhere. */
const STANDS_STILL = 1e-9;

/**
 * The course x of least Σ homeWeight·(x − homeCents)² + Σ moveWeight·(x − x before − moveCents)²: the least-squares path
 * between standing where it should and moving as it should. The equations are tridiagonal: solved in one pass forth and
 * one back (L. H. Thomas, 1949).
 *
 * @returns one value a step
 * @example with homes 0 and 10, both of weight 1, and a move of 0 of weight 1: [10/3, 20/3]
 */
export function findCourse(steps: readonly CourseStep[]): Float64Array {
  const { length } = steps;
  const course = new Float64Array(length);
  const ratio = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    const { homeCents, homeWeight, moveCents } = steps[i];
    const before = i === 0 ? 0 : toWeight(steps[i]);
    const after = i === length - 1 ? 0 : toWeight(steps[i + 1]);
    let diagonal = homeWeight + before + after;
    let right = homeWeight * homeCents;
    if (i > 0) right += before * moveCents;
    if (i < length - 1) right -= after * steps[i + 1].moveCents;
    if (i > 0) {
      diagonal -= before * ratio[i - 1];
      right += before * course[i - 1];
    }
    if (diagonal <= 0) diagonal = STANDS_STILL;
    ratio[i] = after / diagonal;
    course[i] = right / diagonal;
  }
  for (let i = length - 2; i >= 0; i--) course[i] += ratio[i] * course[i + 1];
  return course;
}

function toWeight({ moveWeight }: CourseStep): number {
  return Math.max(moveWeight, STANDS_STILL);
}
