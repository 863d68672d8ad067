import { toDeviationCents } from '../../theory/index.js';
import type { TunerSettings } from '../../tuner/index.js';
import { type CourseStep, findCourse } from './offset-path.js';
import type { PlanNote, PlanPath, PlanProblem } from './problem.js';

/** How long a note that has ended is missed if it comes back elsewhere: fades to 1/e, in seconds. */
const MISSED_SECONDS = 4;
/** Beyond this it is forgotten. */
const FORGOTTEN_SECONDS = 16;

/**
 * Where the common offset stands from each strike on: spread so that a note moves little while it sounds, or until it
 * comes back, and the sounding body stands near home.
 *
 * @param smoothSeconds how long a note standing a cent away from home is worth a note moving by a cent
 * @returns one value a strike, in cents
 */
export function planOffset(
  problem: PlanProblem,
  path: PlanPath,
  settings: TunerSettings,
  smoothSeconds: number,
): Float64Array {
  const steps = toBodies(problem, path, settings);
  const moves = toMoves(problem, path);
  return findCourse(
    steps.map((step, i) => ({
      ...step,
      moveCents: moves[i].cents,
      moveWeight: smoothSeconds * moves[i].weight,
    })),
  );
}

/** How the body of each strike stands, and how long: the home side of the course. */
function toBodies(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  { home }: TunerSettings,
): CourseStep[] {
  const cents = new Float64Array(strikes.length);
  const seconds = new Float64Array(strikes.length);
  for (const note of notes) {
    const { keyClass, strike } = slots[note.slot];
    const away = toDeviationCents(path[note.slot]) - home.deviationCents(keyClass);
    for (let at = strike; at < note.until; at++) {
      const from = Math.max(note.struckMs, strikes[at].atMs);
      const to = at + 1 < strikes.length ? Math.min(note.endedMs, strikes[at + 1].atMs) : note.endedMs;
      const its = Math.max(0, to - from) / 1000;
      seconds[at] += its;
      cents[at] += its * away;
    }
  }
  return strikes.map((_, at) => ({
    homeCents: seconds[at] > 0 ? -cents[at] / seconds[at] : 0,
    homeWeight: seconds[at],
    moveCents: 0,
    moveWeight: 0,
  }));
}

/**
 * What a move of the offset at each strike would mean to notes that sound on, and to those that ended before and come
 * back: of these, a part of the way from their end to their return, and of what their ratio has moved meanwhile.
 */
function toMoves(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
): { cents: number; weight: number }[] {
  const weights = new Float64Array(strikes.length + 1);
  const pulls = new Float64Array(strikes.length + 1);
  const last = new Map<number, PlanNote>();
  for (const note of notes) {
    const { strike } = slots[note.slot];
    const { until } = note;
    for (let at = strike + 1; at < until; at++) weights[at] += 1;
    const before = last.get(note.key);
    last.set(note.key, note);
    // Where the old one was heard last, and what lies between.
    if (before === undefined) continue;
    const from = Math.max(before.until, slots[before.slot].strike + 1);
    const age = Math.max(0, note.struckMs - before.endedMs) / 1000;
    if (from > strike || age > FORGOTTEN_SECONDS) continue;
    const count = strike - from + 1;
    // A move spread evenly over all of them costs what it would cost at once.
    const weight = count * Math.exp(-age / MISSED_SECONDS);
    const cents = (toDeviationCents(path[before.slot]) - toDeviationCents(path[note.slot])) / count;
    for (let at = from; at <= strike; at++) {
      weights[at] += weight;
      pulls[at] += weight * cents;
    }
  }
  return strikes.map((_, at) => ({
    cents: weights[at] > 0 ? pulls[at] / weights[at] : 0,
    weight: weights[at],
  }));
}
