import type { PrimeVector } from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { type HeardPoints, Neighbourhood, NOWHERE } from './neighbourhood.js';
import { REACH } from './pair-cost.js';

/** Farthest a candidate lies from the point it is reached from, in steps of 3 or 5; see `createIntervals`. */
const MAX_INTERVAL_STEPS = 6;
/** Seldom is more heard at once. */
const FIRST_CAPACITY = 24;

/**
 * How the points that are heard lie to each other, wherever on the lattice they stand: after a comma pump the same music
 * has the same shape. With it are kept the neighbourhoods, which follow from it.
 */
export class Shape {
  /** The points and all their candidates lie so close together that the flat table answers for every pair of them. */
  near = true;
  /** How many points there may be, and of each its place from that of the first, and its key class. */
  #size = 0;
  #steps = new Int32Array(FIRST_CAPACITY);
  readonly #keyClasses: number[] = [];
  /** By key class, those that were ever asked for. */
  readonly #neighbourhoods = new Array<Neighbourhood | undefined>(12).fill(undefined);
  /** A bit for each key class whose neighbourhood stands. */
  #found = 0;

  /** Whether the points heard have this shape. */
  fits({ size, places, keyClasses }: HeardPoints): boolean {
    if (size !== this.#size) return false;
    const first = toFirst(places);
    for (let at = 0; at < size; at++) {
      if (keyClasses[at] !== this.#keyClasses[at] || toStep(places[at], first) !== this.#steps[at])
        return false;
    }
    return true;
  }

  /** Takes the shape of the points heard. */
  take(heard: HeardPoints): void {
    const { size, places, keyClasses } = heard;
    const first = toFirst(places);
    if (size > this.#steps.length) this.#steps = new Int32Array(2 * size);
    for (let at = 0; at < size; at++) {
      this.#steps[at] = toStep(places[at], first);
      this.#keyClasses[at] = keyClasses[at];
    }
    this.#size = size;
    this.#found = 0;
    this.near = areNear(heard);
  }

  /** Where a new note of a key class may go, among points that fit. */
  neighbourhoodOf(chooser: Chooser, heard: HeardPoints, keyClass: number): Neighbourhood {
    let neighbourhood = this.#neighbourhoods[keyClass];
    if (neighbourhood === undefined) {
      neighbourhood = new Neighbourhood();
      this.#neighbourhoods[keyClass] = neighbourhood;
    }
    const bit = 1 << keyClass;
    if ((this.#found & bit) === 0) {
      this.#found |= bit;
      neighbourhood.find(chooser, heard, this.near, keyClass);
    }
    return neighbourhood;
  }
}

function toFirst(places: Int32Array): number {
  let at = 0;
  while (at < places.length && places[at] === NOWHERE) at++;
  return places[at] ?? NOWHERE;
}

function toStep(place: number, first: number): number {
  return place === NOWHERE ? NOWHERE : place - first;
}

/**
 * Whether the flat table of pair costs answers for all pairs of these points and their candidates: they lie close enough
 * together, and agree in the primes above 5.
 */
function areNear({ size, points, places }: HeardPoints): boolean {
  let first: PrimeVector | undefined;
  let below = 0;
  let above = 0;
  for (let at = 0; at < size; at++) {
    if (places[at] === NOWHERE) continue;
    const point = points[at];
    first ??= point;
    if (point[3] !== first[3] || point[4] !== first[4] || point[5] !== first[5]) return false;
    const three = point[1] - first[1];
    const five = point[2] - first[2];
    below = Math.min(below, three, five);
    above = Math.max(above, three, five);
  }
  return above - below + 2 * MAX_INTERVAL_STEPS <= REACH;
}
