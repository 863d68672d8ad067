import type { Chooser } from './chooser.js';
import { type HeardPoints, Neighbourhood, NOWHERE } from './neighbourhood.js';
import { areNear } from './pair-cost.js';

/** Farthest a candidate lies from the point it is reached from, in steps of 3 or 5; see `createIntervals`. */
const MAX_INTERVAL_STEPS = 6;

/**
 * How the points that are heard lie to each other, wherever on the lattice they stand: after a comma pump the same music
 * has the same shape. With it are kept the neighbourhoods, which follow from it.
 */
export class Shape {
  /** The points and all their candidates lie so close together that the flat table answers for every pair of them. */
  near = true;
  /** Of each point: its place from that of the first, and its key class. */
  #steps = new Int32Array(0);
  #keyClasses = new Int32Array(0);
  #size = 0;
  readonly #neighbourhoods = Array.from({ length: 12 }, () => new Neighbourhood());
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
  take({ size, places, points, keyClasses }: HeardPoints): void {
    const first = toFirst(places);
    this.#size = size;
    this.#steps = places.slice(0, size).map((place) => toStep(place, first));
    this.#keyClasses = Int32Array.from(keyClasses);
    this.#found = 0;
    const heard = points.filter((_, at) => at < size && places[at] !== NOWHERE);
    this.near = areNear(heard, MAX_INTERVAL_STEPS);
  }

  /** Where a new note of a key class may go, among points that fit. */
  neighbourhoodOf(chooser: Chooser, heard: HeardPoints, keyClass: number): Neighbourhood {
    const neighbourhood = this.#neighbourhoods[keyClass];
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
