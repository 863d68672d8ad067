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
  /** They and all their candidates lie so close together that the flat table answers for every pair of them. */
  readonly near: boolean;
}

/** Seldom are there more candidates. */
const FIRST_CAPACITY = 24;

/** Farthest a candidate lies from the point it is reached from, in steps of 3 or 5; see `createIntervals`. */
export const MAX_INTERVAL_STEPS = 6;

/**
 * Where a new note of one key class may go: every point that has a fair ratio to something heard or remembered, and its
 * pair cost against all of that. How much each counts doesn't matter here.
 *
 * The candidates lie in flat lists: most of them are never chosen, and none is worth an object.
 *
 * @example
 * const neighbourhood = new Neighbourhood();
 * neighbourhood.find(chooser, points, 2);
 * neighbourhood.pointAt(0);  // beside C: 9/8
 */
export class Neighbourhood {
  /** How many candidates there are, at least one; those reached by the simplest ratios from the first points first. */
  size = 0;
  /** By candidate: its place in the flat table of pair costs. */
  places = new Int32Array(FIRST_CAPACITY);
  /** By candidate: how far it stands from its key in 12 equal, in cents, and its place on the line of fifths. */
  deviationCents = new Float64Array(FIRST_CAPACITY);
  fifths = new Int32Array(FIRST_CAPACITY);
  /** What each costs beside each point, candidate by candidate; 0 where there is no point. */
  pairCosts = new Float64Array(FIRST_CAPACITY * 12);
  /** By candidate: the point it is reached from, and by what ratio. */
  readonly #points: PrimeVector[] = [];
  readonly #ratios: PrimeVector[] = [];

  /** Finds them for a key class. @param heard at least one point */
  find(chooser: Chooser, heard: HeardPoints, keyClass: number): void {
    const { size, places, keyClasses } = heard;
    this.size = 0;
    for (let at = 0; at < size; at++) {
      if (places[at] === NOWHERE) continue;
      const distance = toKeyClass(keyClass - keyClasses[at]);
      const ways = chooser.steps[distance].places;
      for (let way = 0; way < ways.length; way++) {
        const place = places[at] + ways[way];
        if (!this.#isKnown(place)) this.#add(chooser, heard, at, distance, way);
      }
    }
    if (this.size * size > this.pairCosts.length) this.pairCosts = new Float64Array(2 * this.size * size);
    if (heard.near) this.#measureNear(chooser, heard);
    else this.#measureFar(chooser, heard);
  }

  /** A candidate's point, octaves left out. */
  pointAt(i: number): PrimeVector {
    const [from, ratio] = [this.#points[i], this.#ratios[i]];
    return [0, from[1] + ratio[1], from[2] + ratio[2], from[3], from[4], from[5]];
  }

  #isKnown(place: number): boolean {
    for (let i = 0; i < this.size; i++) if (this.places[i] === place) return true;
    return false;
  }

  #add(chooser: Chooser, heard: HeardPoints, at: number, distance: number, way: number): void {
    const { places, deviationCents, fifths } = chooser.steps[distance];
    if (this.size === this.places.length) this.#grow();
    const i = this.size++;
    this.places[i] = heard.places[at] + places[way];
    this.deviationCents[i] = heard.deviationCents[at] + deviationCents[way];
    this.fifths[i] = heard.fifths[at] + fifths[way];
    this.#points[i] = heard.points[at];
    this.#ratios[i] = chooser.intervals[distance][way];
  }

  #grow(): void {
    this.places = doubled(this.places);
    this.fifths = doubled(this.fifths);
    this.deviationCents = doubled(this.deviationCents);
  }

  #measureNear({ pairCost }: Chooser, { size, places }: HeardPoints): void {
    const { table, centre } = pairCost;
    const { pairCosts } = this;
    for (let i = 0, to = 0; i < this.size; i++) {
      const from = this.places[i] + centre;
      for (let at = 0; at < size; at++, to++) {
        pairCosts[to] = places[at] === NOWHERE ? 0 : table[from - places[at]];
      }
    }
  }

  /** The same where points are too far apart for the table: after a drift, or with a frame moved by a 7. */
  #measureFar({ pairCost }: Chooser, { size, points, places }: HeardPoints): void {
    for (let i = 0, to = 0; i < this.size; i++) {
      const point = this.pointAt(i);
      for (let at = 0; at < size; at++, to++) {
        this.pairCosts[to] = places[at] === NOWHERE ? 0 : pairCost.between(point, points[at]);
      }
    }
  }
}
