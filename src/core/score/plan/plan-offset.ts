import { toDeviationCents } from '../../theory/index.js';
import type { TunerSettings } from '../../tuner/index.js';
import { toStrikeMeans, toTies } from './chord-means.js';
import { findOffsetPath } from './offset-path.js';
import type { PlanNote, PlanPath, PlanProblem } from './problem.js';

/** The importance of a comeback fades to 1/e in this many seconds after the note's end. */
const MISSED_SECONDS = 4;
/** After this it is forgotten. */
const FORGOTTEN_SECONDS = 16;
/** A comeback within this distance is the same pitch. */
const SAME_WITHIN_CENTS = 1;
/** A move of a sounding note is noticed more surely than one that comes back elsewhere: nothing masks it. */
const TIED_WEIGHT = 4;

/**
 * The common offset from each strike on, under `anchored`. At every strike the mean of what sounds is within the leeway
 * of home. Inside that band few notes move while they sound or come back elsewhere.
 *
 * @param smoothSeconds how long a note a cent away from home is worth one that comes back elsewhere
 * Where notes sound that can't be tuned the offset is theirs, and the path leads there.
 *
 * @param fixed         the offset of each strike that has such notes, in cents; NaN elsewhere
 * @param returns       by how much each strike and all after it were moved on the way home, in cents: there the offset
 *   would move the other way
 * @returns one value a strike, in cents
 */
export function planOffset(
  problem: PlanProblem,
  path: PlanPath,
  settings: TunerSettings,
  smoothSeconds: number,
  fixed: Readonly<Float64Array> = new Float64Array(problem.strikes.length).fill(Number.NaN),
  returns: Readonly<Float64Array> = new Float64Array(problem.strikes.length),
): Float64Array {
  const { leewayCents } = settings;
  const homes = toHomes(problem, path, settings);
  const means = toStrikeMeans(problem, path, settings);
  const { tied, back } = toMoves(problem, path, returns);
  // Without the returns on the way home: a note that comes back after one hasn't moved, only a tied note has.
  let returned = 0;
  const levels = returns.map((cents) => {
    returned += cents;
    return returned;
  });
  const isFixed = (at: number) => !Number.isNaN(fixed[at]);
  const offsets = findOffsetPath(
    homes.map((home, at) => ({
      leastCents: levels[at] + (isFixed(at) ? fixed[at] : -leewayCents - means[at]),
      mostCents: levels[at] + (isFixed(at) ? fixed[at] : leewayCents - means[at]),
      homeCents: levels[at] + home.cents,
      homeWeight: home.weight,
      moves: [
        { cents: returns[at], weight: smoothSeconds * TIED_WEIGHT * tied[at] },
        { cents: 0, weight: smoothSeconds * back[at] },
      ],
    })),
  );
  return offsets.map((cents, at) => cents - levels[at]);
}

/** A preference for the offset at a strike, and its weight. */
interface WantedOffset {
  readonly cents: number;
  readonly weight: number;
}

/** The offset that brings home what sounds from each strike to the next, over that time. */
function toHomes(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  { home }: TunerSettings,
): WantedOffset[] {
  const cents = new Float64Array(strikes.length);
  const seconds = new Float64Array(strikes.length);
  for (const note of notes) {
    const { keyClass, strike } = slots[note.slot];
    const away = toDeviationCents(path[note.slot]) - home.deviationCents[keyClass];
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
 * How many notes each move of the offset would move: those that sound on, and those that ended before and come back at
 * the same ratio, which count less with time. One that comes back at another ratio is elsewhere already.
 */
function toMoves(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  returns: Readonly<Float64Array>,
): { tied: Float64Array; back: Float64Array } {
  const returned = new Float64Array(strikes.length + 1);
  returns.forEach((cents, at) => {
    returned[at + 1] = returned[at] + cents;
  });
  const tied = new Float64Array(strikes.length);
  const back = new Float64Array(strikes.length);
  const last = new Map<number, PlanNote>();
  for (const note of notes) {
    const { strike } = slots[note.slot];
    if (note.fixedCents !== undefined) continue;
    for (let at = strike + 1; at < note.until; at++) tied[at] += 1;
    const before = last.get(note.key);
    last.set(note.key, note);
    if (before === undefined) continue;
    // From the last pitch of the old one.
    const from = Math.max(before.until, slots[before.slot].strike + 1);
    const age = Math.max(0, note.struckMs - before.endedMs) / 1000;
    if (from > strike || age > FORGOTTEN_SECONDS) continue;
    const moved = toDeviationCents(path[note.slot]) - toDeviationCents(path[before.slot]);
    if (Math.abs(moved - returned[strike + 1] + returned[from]) > SAME_WITHIN_CENTS) continue;
    for (let at = from; at <= strike; at++) back[at] += Math.exp(-age / MISSED_SECONDS);
  }
  return { tied, back };
}

/**
 * The common offset under `pull` in a piece that gives back drift. Where nothing is held it makes up for the return at
 * once, so that nobody hears it, but for the distance from home on the other side, which the return corrects. Where a
 * note is held it leaves all of it to the pull.
 *
 * @param returns share of each strike in the way home, in cents
 * @returns the offset from a strike on, by the one before; undefined: by the strategy
 */
export function followReturns(
  problem: PlanProblem,
  path: PlanPath,
  { home }: Pick<TunerSettings, 'home'>,
  returns: Readonly<Float64Array>,
): (strike: number, beforeCents: number) => number | undefined {
  const means = toStrikeMeans(problem, path, { home, held: 'follow' });
  const { held } = toTies(problem);
  return (strike, beforeCents) => {
    const cents = returns[strike];
    if (cents === 0 || held[strike] > 0) return undefined;
    const mean = means[strike] + beforeCents;
    return beforeCents - Math.max(Math.min(cents, 0), Math.min(Math.max(cents, 0), mean));
  };
}
