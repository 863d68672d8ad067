import { harmonicDistance, type PrimeVector, sameClass, toCommas, UNISON } from '../theory/index.js';
import type { Consonances } from './consonance.js';
import { HELD, type Span, type Surroundings } from './surroundings.js';

/** Places this many commas from a held note are unrelated to it: three are more than half a semitone. */
const FARTHEST_COMMAS = 3;
/** Where nothing is held, the music stays near what has just ended. */
const NEAR_COMMAS = 1;
/** Closer costs are equal (floating point). */
const EQUAL = 1e-9;

/** A place for a part: the point of its first key class, octaves left out, and its total cost. */
export interface Place {
  readonly root: PrimeVector;
  readonly cost: number;
}

/**
 * The point at a place on the line of fifths, the given number of syntonic commas below the chain of pure fifths.
 * Spelling and commas determine primes 3 and 5: the first gives letter and accidental, the second the shade. Octaves
 * are left out: the exponent of 2 is not used.
 *
 * @param level its primes above 5
 * @param fifths a whole number: the tonic is 0, a fifth up 1
 * @param commas a whole number; above 0 is lower in pitch
 * @example toPoint(4, 1, UNISON)  // [0, 0, 1, 0, 0, 0]: E⁻¹ is 5/4
 * @see C. Eitz, Das mathematisch-reine Tonsystem, 1891: notes with the number of commas
 */
export function toPoint(fifths: number, commas: number, level: PrimeVector): PrimeVector {
  const [, , , seven, eleven, thirteen] = level;
  return [0, fifths - 4 * commas + 2 * seven - 6 * eleven + 4 * thirteen, commas, seven, eleven, thirteen];
}

/**
 * The possible places of a part: where any of its key classes is within some commas of a point heard. A silent point
 * {@link FARTHEST_COMMAS} away from all held ones doesn't count. Cheapest first; in a tie the smaller ratio to the
 * tonic.
 *
 * @param fifths place of its first key class on the line of fifths
 * @param reach  how many commas; 1 is as far as a consonance reaches
 * @param most   how many places at most
 */
export function listPlaces(
  surroundings: Surroundings,
  part: RigidPart,
  fifths: number,
  reach: number,
  most: number,
): Place[] {
  const { size, commas: heard, bindings, chooser, level } = surroundings;
  const found = new Set<number>();
  const width = chooser.isFifthsOnly ? 0 : reach;
  const own = toCommas(toPoint(0, 0, level));
  const [from, to] = toNearRange(surroundings);
  for (let at = 0; at < size; at++) {
    if (bindings[at] === 0 && (heard[at] < from || heard[at] > to)) continue;
    for (const [, , step] of part.steps)
      for (let more = -width; more <= width; more++) found.add(heard[at] - own + more - step);
  }
  if (size === 0) found.add(0);
  const places: Place[] = [];
  for (const commas of found) {
    const root = toPoint(fifths, commas, level);
    places.push({ root, cost: toPlaceCost(surroundings, part, root) });
  }
  places.sort(compare);
  if (places.length > most) places.length = most;
  return places;
}

/** The range, in commas, where a silent point is near what is held, or else what has just ended. */
function toNearRange(surroundings: Surroundings): Span {
  const { commas } = surroundings;
  const held = surroundings.spanOfHeld(commas);
  if (held !== undefined) return [held[0] - FARTHEST_COMMAS, held[1] + FARTHEST_COMMAS];
  const ended = surroundings.spanOfEnded(commas);
  if (ended !== undefined) return [ended[0] - NEAR_COMMAS, ended[1] + NEAR_COMMAS];
  return [-Infinity, Infinity];
}

/** The cost of a part with its first key class at a point. */
export function toPlaceCost(
  surroundings: Surroundings,
  { classes, steps }: RigidPart,
  root: PrimeVector,
): number {
  let cost = 0;
  for (let i = 0; i < classes.length; i++) cost += surroundings.costAt(classes[i], plus(root, steps[i]));
  return cost;
}

/** A point a step away, octaves left out. */
export function plus(point: PrimeVector, step: PrimeVector): PrimeVector {
  return step === UNISON ? point : [0, point[1] + step[1], point[2] + step[2], point[3], point[4], point[5]];
}

function compare(a: Place, b: Place): number {
  if (Math.abs(a.cost - b.cost) > EQUAL) return a.cost - b.cost;
  return harmonicDistance(a.root, UNISON) - harmonicDistance(b.root, UNISON);
}

/** Key classes joined by consonances, and the place of each relative to the first. */
export interface RigidPart {
  readonly classes: number[];
  /** Ratio of each to the first, octaves left out. */
  readonly steps: PrimeVector[];
}

/**
 * Which key classes struck together are joined by consonances. Each consonance has one just size, so a joined part is
 * rigid: it moves as one.
 *
 * @param fifths by key class: its place on the line of fifths
 * @returns its parts; `undefined` where not all consonances can be just
 * @example
 * const fifths = Int32Array.of(0, 0, 2, 0, 4, 0, 0, 1, 0, 3, 0, 0);  // C 0, D 2, E 4, G 1, A 3
 * toRigidChord({ size: 3, classes: [0, 4, 7] }, fifths, toConsonances(5)).length  // 1: one part, 1/1, 5/4, 3/2
 * toRigidChord({ size: 5, classes: [0, 7, 2, 9, 4] }, fifths, toConsonances(5))   // undefined: four fifths are no major third
 */
export function toRigidChord(
  { size, classes }: Struck,
  fifths: Int32Array,
  consonances: Consonances,
): RigidPart[] | undefined {
  const parts: RigidPart[] = [];
  let reached = 0;
  for (let start = 0; start < size; start++) {
    if ((reached & (1 << classes[start])) !== 0) continue;
    const part: RigidPart = { classes: [classes[start]], steps: [UNISON] };
    reached |= 1 << classes[start];
    for (let i = 0; i < part.classes.length; i++) {
      const from = part.classes[i];
      for (let j = 0; j < size; j++) {
        const to = classes[j];
        if (to === from) continue;
        const ratio = consonances.get(fifths[to] - fifths[from]);
        if (ratio === undefined) continue;
        // A place on the line of fifths and a number of thirds define a point here.
        const five = part.steps[i][2] + ratio[2];
        if ((reached & (1 << to)) === 0) {
          reached |= 1 << to;
          part.classes.push(to);
          part.steps.push([0, part.steps[i][1] + ratio[1], five, 0, 0, 0]);
        } else if (part.steps[part.classes.indexOf(to)][2] !== five) {
          return undefined;
        }
      }
    }
    parts.push(part);
  }
  return parts;
}

/** Held notes want a part at more than one place. */
export const CONTRADICTION = 'contradiction';

/**
 * Where held notes want a part, so that all its consonances with them are just.
 *
 * @param fifths by key class: its place on the line of fifths
 * @returns the point of its first key class; `undefined` where no held note makes a consonance with any of it
 * @example D and F beside a held A at 5/3 are bound to put D at 10/9
 */
export function toBound(
  { size, points, fifths: heard, bindings }: Surroundings,
  { classes, steps }: RigidPart,
  fifths: Int32Array,
  consonances: Consonances,
): PrimeVector | typeof CONTRADICTION | undefined {
  let bound: PrimeVector | undefined;
  for (let at = 0; at < size; at++) {
    if (bindings[at] !== HELD) continue;
    const [, three, five, seven, eleven, thirteen] = points[at];
    for (let i = 0; i < classes.length; i++) {
      const ratio = consonances.get(fifths[classes[i]] - heard[at]);
      if (ratio === undefined) continue;
      const [, threes, fives] = steps[i];
      const root: PrimeVector = [
        0,
        three + ratio[1] - threes,
        five + ratio[2] - fives,
        seven,
        eleven,
        thirteen,
      ];
      if (bound !== undefined && !sameClass(bound, root)) return CONTRADICTION;
      bound = root;
    }
  }
  return bound;
}

/** Key classes struck together. */
export interface Struck {
  /** The key classes in ascending order, and how many: the order of fingers doesn't matter. */
  readonly size: number;
  readonly classes: Int32Array;
  /** By key class: how many notes it has. */
  readonly counts: Int32Array;
}

/** The key classes of some notes. Reused, so that counting allocates nothing. */
export class StruckClasses implements Struck {
  size = 0;
  readonly classes = new Int32Array(12);
  readonly counts = new Int32Array(12);

  /**
   * Counts notes.
   * @param leftOut key classes that are counted, but don't belong to `classes`
   */
  count(notes: Iterable<{ readonly keyClass: number }>, leftOut: readonly number[] = []): void {
    this.counts.fill(0);
    this.size = 0;
    for (const { keyClass } of notes) {
      this.counts[keyClass]++;
      if (this.counts[keyClass] === 1 && !leftOut.includes(keyClass)) this.#insert(keyClass);
    }
  }

  #insert(keyClass: number): void {
    let at = this.size++;
    for (; at > 0 && this.classes[at - 1] > keyClass; at--) this.classes[at] = this.classes[at - 1];
    this.classes[at] = keyClass;
  }
}
