import { harmonicDistance, type PrimeVector, UNISON } from '../theory/index.js';
import { toCommas } from './commas.js';
import type { RigidPart } from './rigid-chord.js';
import type { Span, Surroundings } from './surroundings.js';

/** So many commas from a held note a place has little to do with it: three are more than half a semitone. */
const FARTHEST_COMMAS = 3;
/** Where nothing is held, the music doesn't leave what has just ended for what was long ago. */
const NEAR_COMMAS = 1;
/** Costs closer than this are equal: what is left of floating point. */
const EQUAL = 1e-9;

/** A place for a part: the point of its first key class, octaves left out, and what all of it costs there. */
export interface Place {
  readonly root: PrimeVector;
  readonly cost: number;
}

/**
 * The point at a place on the line of fifths, so many syntonic commas below the chain of pure fifths.
 *
 * Spelling and commas are all there is in primes 3 and 5: the first says which letter and accidental, the second which of
 * its shades, a comma apart.
 *
 * @param level what it has of primes above 5
 * @example toPoint(4, 1, UNISON)  // [0, 0, 1, 0, 0, 0]: E⁻¹ is 5/4
 * @see C. Eitz, Das mathematisch-reine Tonsystem, 1891: notes with the number of commas
 */
export function toPoint(fifths: number, commas: number, level: PrimeVector): PrimeVector {
  const [, , , seven, eleven, thirteen] = level;
  return [0, fifths - 4 * commas + 2 * seven - 6 * eleven + 4 * thirteen, commas, seven, eleven, thirteen];
}

/**
 * Where a part may stand: where any of its key classes comes within some commas of something that was heard. What is
 * silent, and {@link FARTHEST_COMMAS} away from all that is held, is another matter. Cheapest first; of equals the smaller
 * ratio to the tonic.
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

/** From where to where, in commas, what is silent can still be near to what is held, or else to what has just ended. */
function toNearRange(surroundings: Surroundings): Span {
  const { commas } = surroundings;
  const held = surroundings.spanOfHeld(commas);
  if (held !== undefined) return [held[0] - FARTHEST_COMMAS, held[1] + FARTHEST_COMMAS];
  const ended = surroundings.spanOfEnded(commas);
  if (ended !== undefined) return [ended[0] - NEAR_COMMAS, ended[1] + NEAR_COMMAS];
  return [-Infinity, Infinity];
}

/** What a part costs with its first key class at a point. */
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
