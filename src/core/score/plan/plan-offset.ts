import { toDeviationCents } from '../../theory/index.js';
import type { TunerSettings } from '../../tuner/index.js';
import { findCourse } from './offset-path.js';
import type { PlanNote, PlanPath, PlanProblem } from './problem.js';
import { toStrikeBodies } from './strike-bodies.js';

/** How much it matters where a note comes back fades to 1/e in so many seconds after its end. */
const MISSED_SECONDS = 4;
/** Beyond this it is forgotten. */
const FORGOTTEN_SECONDS = 16;
/** A note that comes back no farther off than this is where it was. */
const SAME_WITHIN_CENTS = 1;

/**
 * Where the common offset stands from each strike on: spread so that a note moves little while it sounds, or until it
 * comes back, and the sounding body stands near home; at every strike no farther from home than the leeway.
 *
 * @param smoothSeconds how long a note standing a cent away from home is worth a note moving by a cent
 * @param returns       by how much each strike and all after it were moved on the way home, in cents: there the offset
 *   would move the other way
 * @returns one value a strike, in cents
 */
export function planOffset(
  problem: PlanProblem,
  path: PlanPath,
  settings: TunerSettings,
  smoothSeconds: number,
  returns: Readonly<Float64Array> = new Float64Array(problem.strikes.length),
): Float64Array {
  const { leewayCents } = settings;
  const homes = toHomes(problem, path, settings);
  const moves = toMoves(problem, path, returns);
  const bodies = toStrikeBodies(problem, path, settings);
  return findCourse(
    homes.map((home, i) => ({
      homeCents: home.cents,
      homeWeight: home.weight,
      moveCents: moves[i].cents,
      moveWeight: smoothSeconds * moves[i].weight,
      leastCents: -leewayCents - bodies[i],
      mostCents: leewayCents - bodies[i],
    })),
  );
}

/** Something wanted of the offset at a strike, and how much it counts. */
interface Wish {
  readonly cents: number;
  readonly weight: number;
}

/** Where it would bring home what sounds from each strike to the next, taken together over that time. */
function toHomes({ strikes, slots, notes }: PlanProblem, path: PlanPath, { home }: TunerSettings): Wish[] {
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
    cents: seconds[at] > 0 ? -cents[at] / seconds[at] : 0,
    weight: seconds[at],
  }));
}

/**
 * What a move of the offset at each strike would mean to notes that sound on, and to those that ended before and come
 * back at the same ratio. One that comes back at another is elsewhere already; to bring it nearer by the offset would
 * move all others too.
 */
function toMoves(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  returns: Readonly<Float64Array>,
): Wish[] {
  const returned = new Float64Array(strikes.length + 1);
  returns.forEach((cents, at) => {
    returned[at + 1] = returned[at] + cents;
  });
  const weights = new Float64Array(strikes.length);
  const pulls = new Float64Array(strikes.length);
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
    // But for what was moved on the way home: that is made up for at its place.
    const moved = toDeviationCents(path[note.slot]) - toDeviationCents(path[before.slot]);
    if (Math.abs(moved - returned[strike + 1] + returned[from]) > SAME_WITHIN_CENTS) continue;
    // A move spread evenly over all of them costs what it would cost at once.
    const weight = (strike - from + 1) * Math.exp(-age / MISSED_SECONDS);
    for (let at = from; at <= strike; at++) {
      weights[at] += weight;
      pulls[at] -= weight * returns[at];
    }
  }
  return strikes.map((_, at) => ({
    cents: weights[at] > 0 ? pulls[at] / weights[at] : 0,
    weight: weights[at],
  }));
}
