import { toDeviationCents } from '../../theory/index.js';
import type { TunerSettings } from '../../tuner/index.js';
import type { PlanPath, PlanProblem } from './problem.js';

/**
 * Mean distance from home at each strike, in cents, with the common offset at 0: over all that can be heard just after
 * it, as the tuner anchors it. When held notes stay, only the new ones count, since only they take the offset.
 *
 * @returns one value a strike
 * @example
 * const slots = [{ keyClass: 0, strike: 0 }, { keyClass: 7, strike: 0 }];
 * const notes = [{ slot: 0, until: 1 }, { slot: 1, until: 1 }];
 * toStrikeMeans({ strikes: [{}], slots, notes }, [ratio('1/1'), ratio('3/2')], DEFAULT_SETTINGS)  // [0.978]: 1.955 ÷ 2
 */
export function toStrikeMeans(
  { strikes, slots, notes }: PlanProblem,
  path: PlanPath,
  { home, held }: Pick<TunerSettings, 'home' | 'held'>,
): Float64Array {
  const cents = new Float64Array(strikes.length);
  const counts = new Int32Array(strikes.length);
  for (const { slot, until } of notes) {
    const { keyClass, strike } = slots[slot];
    const away = toDeviationCents(path[slot]) - home.deviationCents[keyClass];
    const last = held === 'follow' ? until : strike + 1;
    for (let at = strike; at < last; at++) {
      cents[at] += away;
      counts[at] += 1;
    }
  }
  return cents.map((sum, at) => sum / Math.max(1, counts[at]));
}

/**
 * The offset that brings the first chord home as a whole, in cents: all its notes, in any order of fingers. 0 for a
 * piece without notes.
 */
export function placeFirstChord(
  { strikes, slots }: PlanProblem,
  path: PlanPath,
  { home }: Pick<TunerSettings, 'home'>,
): number {
  if (strikes.length === 0) return 0;
  let [sum, count] = [0, 0];
  for (let slot = strikes[0].first; slot < strikes[0].end; slot++) {
    const { keyClass, count: its } = slots[slot];
    sum += its * (toDeviationCents(path[slot]) - home.deviationCents[keyClass]);
    count += its;
  }
  return -sum / count;
}

/** What is pulled home, how fast, and until how near. In cents, and cents a second. */
export interface PullBand {
  readonly leewayCents: number;
  readonly rateCentsPerSecond: number;
}

/**
 * The mean of what sounds at each strike under `pull`, in cents: the first at home, the others where music and pull
 * have brought them just as each begins. Assumes that the notes of a strike sound until the next.
 *
 * @param means  distance of each strike from home with the offset at 0, in cents
 * @param seconds how long each of them is the last one
 * @example toPulledMeans(Float64Array.of(0, -21.5, -21.5), Float64Array.of(1, 1, 1), { leewayCents: 2, rateCentsPerSecond: 3 })
 *   // [0, -21.5, -18.5]
 */
export function toPulledMeans(
  means: Readonly<Float64Array>,
  seconds: Readonly<Float64Array>,
  { leewayCents, rateCentsPerSecond }: PullBand,
): Float64Array {
  let offsetCents = means.length === 0 ? 0 : -means[0];
  return means.map((cents, at) => {
    const mean = cents + offsetCents;
    const most = rateCentsPerSecond * seconds[at];
    const wanted = Math.max(-leewayCents, Math.min(leewayCents, mean)) - mean;
    offsetCents += Math.max(-most, Math.min(most, wanted));
    return mean;
  });
}

/** What is held over the beginning of each strike. */
export interface Ties {
  /** How many notes struck before it sound on. */
  readonly held: Int32Array;
  /** The earliest strike of the notes that sounded up to it, held on or not; its own index after silence. */
  readonly oldest: Int32Array;
}

/** One entry a strike. */
export function toTies({ strikes, slots, notes }: PlanProblem): Ties {
  const held = new Int32Array(strikes.length);
  const oldest = Int32Array.from(strikes, (_, at) => at);
  for (const { slot, until } of notes) {
    const { strike } = slots[slot];
    for (let at = strike + 1; at < until; at++) held[at] += 1;
    const last = Math.min(until, strikes.length - 1);
    for (let at = strike + 1; at <= last; at++) oldest[at] = Math.min(oldest[at], strike);
  }
  return { held, oldest };
}
