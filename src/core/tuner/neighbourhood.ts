import type { PrimeVector } from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { doubled } from './doubled.js';
import { toKeyClass } from './intervals.js';

/** The place of a key class that isn't heard. No point has it. */
export const NOWHERE = -(2 ** 30);

/** Points that are heard or remembered, in flat lists. */
export interface HeardPoints {
  /** How many there may be. Key class k stands at index k; from 12 on, those that sound at a second place. */
  readonly size: number;
  readonly points: readonly PrimeVector[];
  readonly keyClasses: readonly number[];
  /** Each point's place in the flat table of pair costs, or {@link NOWHERE}. */
  readonly places: Int32Array;
  /** How far each stands from its key in 12 equal, in cents, and its place on the line of fifths. */
  readonly deviationCents: Float64Array;
  readonly fifths: Int32Array;
}

/** Seldom are there more candidates. */
const FIRST_CAPACITY = 12;

/**
 * Where a new note of one key class may go: every point that has a fair ratio to something heard or remembered, and its
 * pair cost against all of that. How much each counts doesn't matter here, nor where on the lattice the music stands:
 * each candidate goes by the point it is reached from, as its index, and the step from there.
 *
 * The candidates lie in flat lists: most of them are never chosen, and none is worth an object.
 *
 * @example
 * const neighbourhood = new Neighbourhood();
 * neighbourhood.find(chooser, heard, true, 2);
 * neighbourhood.pointAt(heard, 0);  // beside C: 9/8
 */
export class Neighbourhood {
  /** How many candidates there are, at least one; those reached by the simplest ratios from the first points first. */
  size = 0;
  /** By candidate: the index of the point it is reached from. */
  from = new Int32Array(FIRST_CAPACITY);
  /** By candidate, the step from there: in the flat table of pair costs, in cents off the keys, on the line of fifths. */
  steps = new Int32Array(FIRST_CAPACITY);
  deviationCents = new Float64Array(FIRST_CAPACITY);
  fifths = new Int32Array(FIRST_CAPACITY);
  /** What each costs beside each point, candidate by candidate; 0 where there is no point. */
  pairCosts = new Float64Array(FIRST_CAPACITY * 12);
  readonly #ratios: PrimeVector[] = [];

  /**
   * Finds them for a key class.
   * @param heard at least one point
   * @param near  whether the flat table answers for all of them
   */
  find(chooser: Chooser, heard: HeardPoints, near: boolean, keyClass: number): void {
    const { size, places, keyClasses } = heard;
    this.size = 0;
    for (let at = 0; at < size; at++) {
      if (places[at] === NOWHERE) continue;
      const distance = toKeyClass(keyClass - keyClasses[at]);
      const steps = chooser.steps[distance].places;
      for (let way = 0; way < steps.length; way++) {
        if (!this.#isKnown(places, places[at] + steps[way])) this.#add(chooser, at, distance, way);
      }
    }
    if (this.size * size > this.pairCosts.length) this.pairCosts = new Float64Array(2 * this.size * size);
    if (near) this.#measureNear(chooser, heard);
    else this.#measureFar(chooser, heard);
  }

  /** A candidate's point, octaves left out. */
  pointAt({ points }: HeardPoints, i: number): PrimeVector {
    const point = points[this.from[i]];
    const ratio = this.#ratios[i];
    return [0, point[1] + ratio[1], point[2] + ratio[2], point[3], point[4], point[5]];
  }

  #isKnown(places: Int32Array, place: number): boolean {
    for (let i = 0; i < this.size; i++) if (places[this.from[i]] + this.steps[i] === place) return true;
    return false;
  }

  #add({ steps, intervals }: Chooser, at: number, distance: number, way: number): void {
    const { places, deviationCents, fifths } = steps[distance];
    if (this.size === this.from.length) this.#grow();
    const i = this.size++;
    this.from[i] = at;
    this.steps[i] = places[way];
    this.deviationCents[i] = deviationCents[way];
    this.fifths[i] = fifths[way];
    this.#ratios[i] = intervals[distance][way];
  }

  #grow(): void {
    this.from = doubled(this.from);
    this.steps = doubled(this.steps);
    this.deviationCents = doubled(this.deviationCents);
    this.fifths = doubled(this.fifths);
  }

  #measureNear({ pairCost }: Chooser, { size, places }: HeardPoints): void {
    const { table, centre } = pairCost;
    const { pairCosts } = this;
    for (let i = 0, to = 0; i < this.size; i++) {
      const from = places[this.from[i]] + this.steps[i] + centre;
      for (let at = 0; at < size; at++, to++) {
        pairCosts[to] = places[at] === NOWHERE ? 0 : table[from - places[at]];
      }
    }
  }

  /** The same where points are too far apart for the table: after a drift, or with a frame moved by a 7. */
  #measureFar({ pairCost }: Chooser, heard: HeardPoints): void {
    const { size, points, places } = heard;
    for (let i = 0, to = 0; i < this.size; i++) {
      const point = this.pointAt(heard, i);
      for (let at = 0; at < size; at++, to++) {
        this.pairCosts[to] = places[at] === NOWHERE ? 0 : pairCost.between(point, points[at]);
      }
    }
  }
}
