/** One moment of a course to be found: where it wants to stand, and what moving there from the moment before means. */
export interface CourseStep {
  /** Where it would stand at home, and how much that counts. */
  readonly homeCents: number;
  readonly homeWeight: number;
  /** By how much it would move from the moment before, and how much that counts. Of no account for the first. */
  readonly moveCents: number;
  readonly moveWeight: number;
  /** It must not stand lower or higher than this; -Infinity and Infinity where it may stand anywhere. */
  readonly leastCents: number;
  readonly mostCents: number;
}

/** So that a course nobody has a wish for stands still instead of nowhere. */
const STANDS_STILL = 1e-9;
/** Real music takes a dozen rounds. */
const MOST_ROUNDS = 200;
/** A step this small can only be what is left of floating point. */
const LEAST_SHARE = 1 / 1024;

/**
 * The course x of least Σ homeWeight·(x − homeCents)² + Σ moveWeight·(x − x before − moveCents)² that keeps within its
 * bounds: the least-squares path between standing where it should and moving as it should.
 *
 * Newton's method, projected: moments that press against a bound are held there, the others solved for, as tridiagonal
 * equations (L. H. Thomas, 1949), and what then leaves its bounds is put back on them. A round takes time in proportion
 * to the length; the course is found when nothing had to be put back and nothing held wants to leave. Between rounds
 * each moment in turn takes its best place beside its neighbours, which alone would lead there in the end, so that no
 * round can be in vain.
 *
 * @returns one value a step, within its bounds to the last bit
 * @example with homes 0 and 10, both of weight 1, and a move of 0 of weight 1: [10/3, 20/3]
 * @example the same, the second at most 5: [2.5, 5]
 */
export function findCourse(steps: readonly CourseStep[]): Float64Array {
  const course = solve(steps, [], new Float64Array(steps.length));
  if (clamp(steps, course) === 0) return course;
  const held: boolean[] = [];
  for (let round = 0; round < MOST_ROUNDS; round++) {
    settle(steps, course);
    for (let i = 0; i < steps.length; i++) held[i] = isHeld(steps, course, i);
    const next = solve(steps, held, course);
    const left = clamp(steps, next);
    const isFree = left === 0 && steps.every((_, i) => !held[i] || isHeld(steps, next, i));
    if (isFree) return next;
    approach(steps, course, next);
  }
  return course;
}

/** Solves for every moment that isn't held where it stands: one pass forth and one back. */
function solve(
  steps: readonly CourseStep[],
  held: readonly boolean[],
  from: Readonly<Float64Array>,
): Float64Array {
  const { length } = steps;
  const course = new Float64Array(length);
  const ratio = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    if (held[i]) {
      course[i] = from[i];
      continue;
    }
    const { before, after, diagonal, right } = toEquation(steps, i);
    const pivot = i > 0 ? diagonal - before * ratio[i - 1] : diagonal;
    const sum = i > 0 ? right + before * course[i - 1] : right;
    ratio[i] = after / (pivot > 0 ? pivot : STANDS_STILL);
    course[i] = sum / (pivot > 0 ? pivot : STANDS_STILL);
  }
  for (let i = length - 2; i >= 0; i--) if (!held[i]) course[i] += ratio[i] * course[i + 1];
  return course;
}

/** Of least cost where diagonal·x = right + before·(x before) + after·(x after). */
interface Equation {
  readonly before: number;
  readonly after: number;
  readonly diagonal: number;
  readonly right: number;
}

function toEquation(steps: readonly CourseStep[], i: number): Equation {
  const { homeCents, homeWeight, moveCents } = steps[i];
  const before = i === 0 ? 0 : toWeight(steps[i]);
  const after = i === steps.length - 1 ? 0 : toWeight(steps[i + 1]);
  let right = homeWeight * homeCents;
  if (i > 0) right += before * moveCents;
  if (i < steps.length - 1) right -= after * steps[i + 1].moveCents;
  return { before, after, diagonal: homeWeight + before + after, right };
}

function toWeight({ moveWeight }: CourseStep): number {
  return Math.max(moveWeight, STANDS_STILL);
}

/** Where a moment would stand by its own wishes and its neighbours; where it stands if nothing is wished. */
function toBest(steps: readonly CourseStep[], course: Readonly<Float64Array>, i: number): number {
  const { before, after, diagonal, right } = toEquation(steps, i);
  if (diagonal === 0) return course[i];
  let sum = right;
  if (i > 0) sum += before * course[i - 1];
  if (i < steps.length - 1) sum += after * course[i + 1];
  return sum / diagonal;
}

/** Whether a moment stands on a bound and would like to be beyond it. */
function isHeld(steps: readonly CourseStep[], course: Readonly<Float64Array>, i: number): boolean {
  const { leastCents, mostCents } = steps[i];
  if (course[i] > leastCents && course[i] < mostCents) return false;
  const best = toBest(steps, course, i);
  return (course[i] <= leastCents && best <= leastCents) || (course[i] >= mostCents && best >= mostCents);
}

/** Each moment in turn takes its best place within its bounds. */
function settle(steps: readonly CourseStep[], course: Float64Array): void {
  for (let i = 0; i < steps.length; i++) course[i] = toAllowed(steps[i], toBest(steps, course, i));
}

/** @returns how many had to be put back on their bounds */
function clamp(steps: readonly CourseStep[], course: Float64Array): number {
  let left = 0;
  for (let i = 0; i < steps.length; i++) {
    const allowed = toAllowed(steps[i], course[i]);
    if (allowed !== course[i]) left += 1;
    course[i] = allowed;
  }
  return left;
}

function toAllowed({ leastCents, mostCents }: CourseStep, cents: number): number {
  return Math.max(leastCents, Math.min(mostCents, cents));
}

/** Goes as far toward another course as makes it cheaper: all the way, or half of that, or half of that. */
function approach(steps: readonly CourseStep[], course: Float64Array, goal: Readonly<Float64Array>): void {
  const least = toCost(steps, course);
  for (let share = 1; share >= LEAST_SHARE; share /= 2) {
    const trial = course.map((cents, i) => cents + share * (goal[i] - cents));
    if (toCost(steps, trial) >= least) continue;
    course.set(trial);
    clamp(steps, course);
    return;
  }
}

function toCost(steps: readonly CourseStep[], course: Readonly<Float64Array>): number {
  let cost = 0;
  for (let i = 0; i < steps.length; i++) {
    const { homeCents, homeWeight, moveCents } = steps[i];
    cost += homeWeight * (course[i] - homeCents) ** 2;
    if (i > 0) cost += toWeight(steps[i]) * (course[i] - course[i - 1] - moveCents) ** 2;
  }
  return cost;
}
