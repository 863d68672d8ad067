import { fail, type Outcome, succeed } from '../../outcome.js';
import { findMember, formatChord, type PumpChord, toMembers } from './chord.js';
import type { Pump } from './pump.js';

/** A voice of a choir: its name, and the keys it sings with ease (common practice). */
export interface VoicePart {
  readonly name: string;
  readonly lowest: number;
  readonly highest: number;
}

const SOPRANO: VoicePart = { name: 'Soprano', lowest: 60, highest: 79 };
const ALTO: VoicePart = { name: 'Alto', lowest: 55, highest: 74 };

/** The voices of a choir of three or four, from the lowest up. */
export const CHOIRS: Readonly<Record<3 | 4, readonly VoicePart[]>> = {
  3: [{ name: 'Baritone', lowest: 43, highest: 65 }, ALTO, SOPRANO],
  4: [{ name: 'Bass', lowest: 40, highest: 60 }, { name: 'Tenor', lowest: 48, highest: 67 }, ALTO, SOPRANO],
};

/** Upper voices stay within an octave of their neighbour; the lowest may be further off. */
const MOST_APART = 12;
const MOST_APART_BELOW = 19;
const MOST_LEAP = 12;

/** Prices, in semitones moved, of what a choir avoids. */
const PRICE = { onThird: 12, onOther: 40, doubledThird: 6, offMiddle: 0.15, parallel: 60, leap: 6 };

/** One key for each voice, from the lowest up. */
export type Voicing = readonly number[];

/**
 * Sets the chords of a pump for a choir, the same in every pass, at the least cost.
 *
 * Each common tone that can be held is held by at least one voice that has it. The others move as little as they can,
 * without parallel fifths and octaves where possible. Every voice stays in its range, none crosses another, every chord
 * is whole. Fails with `PUMP_VOICES`: a seventh chord for three voices, or no setting within these rules. A voicing has
 * MIDI keys 0..127, from the lowest voice up.
 *
 * @example toVoicings(pump, 4).value[0]  // [48, 55, 64, 72]
 */
export function toVoicings(pump: Pump, count: 3 | 4): Outcome<readonly Voicing[]> {
  const parts = CHOIRS[count];
  const large = pump.chords.find(({ quality }) => toMembers(quality).length > count);
  if (large !== undefined)
    return fail({
      code: 'PUMP_VOICES',
      message: `${formatChord(large)} has four notes, and there are three voices`,
      advice: 'Give it --voices 4.',
    });
  const choices = pump.chords.map((chord) => listVoicings(chord, parts));
  const steps = pump.chords.map((_, i) => toStepCosts(pump, i, choices));
  let best: { cost: number; path: number[] } | undefined;
  for (let start = 0; start < choices[0].length; start++) {
    const found = findCycle(choices, steps, parts, pump, start, best?.cost ?? Number.POSITIVE_INFINITY);
    if (found !== undefined) best = found;
  }
  if (best === undefined)
    return fail({
      code: 'PUMP_VOICES',
      message: `these chords can't be set for ${count} voices so that what they have in common is held`,
      advice: `Try --voices ${count === 4 ? 3 : 4}, or another order of the chords.`,
    });
  return succeed(best.path.map((choice, i) => choices[i][choice]));
}

/** The cheapest cycle from one setting of the first chord back to it; undefined if none costs less than `limit`. */
function findCycle(
  choices: readonly (readonly Voicing[])[],
  steps: readonly Float64Array[],
  parts: readonly VoicePart[],
  pump: Pump,
  start: number,
  limit: number,
): { cost: number; path: number[] } | undefined {
  let costs = new Float64Array(choices[0].length).fill(Number.POSITIVE_INFINITY);
  costs[start] = 0;
  const from: Int32Array[] = [];
  for (let i = 0; i < choices.length; i++) {
    const next = choices[(i + 1) % choices.length];
    const after = new Float64Array(next.length).fill(Number.POSITIVE_INFINITY);
    const came = new Int32Array(next.length).fill(-1);
    for (let a = 0; a < choices[i].length; a++) {
      if (costs[a] >= limit) continue;
      const here = costs[a] + toVoicingCost(pump.chords[i], choices[i][a], parts);
      for (let b = 0; b < next.length; b++) {
        const cost = here + steps[i][a * next.length + b];
        if (cost < after[b]) {
          after[b] = cost;
          came[b] = a;
        }
      }
    }
    from.push(came);
    costs = after;
  }
  if (!(costs[start] < limit)) return undefined;
  const path = new Array<number>(choices.length);
  for (let i = choices.length - 1, at = start; i >= 0; i--) {
    at = from[i][at];
    path[i] = at;
  }
  return { cost: costs[start], path };
}

/** Every setting of a chord that the voices can sing. */
function listVoicings(chord: PumpChord, parts: readonly VoicePart[]): Voicing[] {
  const found: Voicing[] = [];
  const members = toMembers(chord.quality).length;
  const add = (keys: readonly number[]): void => {
    const part = parts[keys.length];
    if (part === undefined) {
      if (new Set(keys.map((key) => key % 12)).size === members) found.push(keys);
      return;
    }
    const below = keys[keys.length - 1];
    const apart = keys.length === 1 ? MOST_APART_BELOW : MOST_APART;
    for (let key = part.lowest; key <= part.highest; key++) {
      if (below !== undefined && (key <= below || key - below > apart)) continue;
      if (findMember(chord, key % 12) !== undefined) add([...keys, key]);
    }
  };
  add([]);
  return found;
}

function toVoicingCost(chord: PumpChord, voicing: Voicing, parts: readonly VoicePart[]): number {
  const bass = findMember(chord, voicing[0] % 12)?.name;
  let cost = bass === 'root' ? 0 : bass === 'third' ? PRICE.onThird : PRICE.onOther;
  const thirds = voicing.filter((key) => findMember(chord, key % 12)?.name === 'third').length;
  if (thirds > 1) cost += PRICE.doubledThird;
  voicing.forEach((key, voice) => {
    const { lowest, highest } = parts[voice];
    cost += PRICE.offMiddle * Math.abs(key - (lowest + highest) / 2);
  });
  return cost;
}

/**
 * Prices of moving from each setting of a chord to each of the next; Infinity where a common tone would be released.
 */
function toStepCosts(pump: Pump, i: number, choices: readonly (readonly Voicing[])[]): Float64Array {
  const here = choices[i];
  const next = choices[(i + 1) % choices.length];
  const held = new Set(pump.moves[i].held);
  const costs = new Float64Array(here.length * next.length);
  here.forEach((from, a) => {
    next.forEach((to, b) => {
      costs[a * next.length + b] = holdsAll(from, to, held)
        ? toMotionCost(from, to)
        : Number.POSITIVE_INFINITY;
    });
  });
  return costs;
}

/** Whether each common tone is held by a voice that has it. */
function holdsAll(from: Voicing, to: Voicing, held: ReadonlySet<number>): boolean {
  for (const keyClass of held)
    if (!from.some((key, voice) => key % 12 === keyClass && to[voice] === key)) return false;
  return true;
}

function toMotionCost(from: Voicing, to: Voicing): number {
  let cost = 0;
  for (let voice = 0; voice < from.length; voice++) {
    const moved = Math.abs(to[voice] - from[voice]);
    if (moved > MOST_LEAP) return Number.POSITIVE_INFINITY;
    // Leaps are easier for the bass.
    cost += moved + (moved > (voice === 0 ? 7 : 4) ? PRICE.leap : 0);
    for (let other = 0; other < voice; other++)
      if (isParallel(from[other], from[voice], to[other], to[voice])) cost += PRICE.parallel;
  }
  return cost;
}

/** Whether two voices move in parallel fifths or octaves. */
function isParallel(low: number, high: number, nextLow: number, nextHigh: number): boolean {
  const interval = (high - low) % 12;
  if (interval !== 0 && interval !== 7) return false;
  return nextLow !== low && nextHigh - nextLow === high - low;
}
