import { type PrimeVector, toDeviationCents, toFifths, UNISON } from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { doubled } from './doubled.js';
import { type HeardPoints, MAX_INTERVAL_STEPS, Neighbourhood, NOWHERE } from './neighbourhood.js';
import { areNear, toPlace } from './pair-cost.js';

/** Seldom is more heard at once. */
const FIRST_CAPACITY = 24;

/**
 * What new notes are measured against: every point that is heard or remembered, how much each counts, and where each key
 * class was last.
 *
 * Weights change with every moment; the points seldom do, since memory mostly keeps what sounds again. So what follows
 * from the points alone, the neighbourhood of each key class, is kept for as long as they stay the same.
 *
 * Filled in one go: {@link begin}, then {@link hear} for each point, then {@link end}.
 *
 * @example
 * surroundings.begin();
 * surroundings.hear(UNISON, 0, 1);
 * surroundings.end();
 * surroundings.neighbourhoodOf(4).pointAt(0);  // [0, 0, 1, 0, 0, 0]: 5/4
 */
export class Surroundings implements HeardPoints {
  readonly chooser: Chooser;
  size = 12;
  readonly points: PrimeVector[] = new Array<PrimeVector>(12).fill(UNISON);
  readonly keyClasses: number[] = Array.from({ length: 12 }, (_, keyClass) => keyClass);
  places = new Int32Array(FIRST_CAPACITY).fill(NOWHERE);
  deviationCents = new Float64Array(FIRST_CAPACITY);
  fifths = new Int32Array(FIRST_CAPACITY);
  near = true;
  /** How much each point counts; 0 where there is none. */
  weights = new Float64Array(FIRST_CAPACITY);
  /** By key class: where it was last, in cents off its key, and how much that still matters, 1 to 0; 0 for never. */
  readonly lastCents = new Float64Array(12);
  readonly lastFading = new Float64Array(12);
  /** Mean place of the music on the line of fifths, from the tonic. */
  fifthsMean = 0;
  /** The common offset, in cents, and the price of a cent away from home. */
  offsetCents = 0;
  homeLean = 0;
  readonly #neighbourhoods = Array.from({ length: 12 }, () => new Neighbourhood());
  /** A bit for each key class whose neighbourhood stands, and for each that was heard. */
  #found = 0;
  #heard = 0;
  #changed = false;

  constructor(chooser: Chooser) {
    this.chooser = chooser;
  }

  /** Nothing is heard yet. */
  begin(): void {
    for (let at = 0; at < 12; at++) {
      this.weights[at] = 0;
      this.lastFading[at] = 0;
    }
    // Who sounds at two places is seldom the same twice.
    if (this.size > 12) this.#changed = true;
    this.size = 12;
    this.#heard = 0;
  }

  /**
   * Hears a point, or more of one that is heard already.
   * @param weight how much it counts, 0 or more
   * @returns its index
   */
  hear(point: PrimeVector, keyClass: number, weight: number): number {
    const bit = 1 << keyClass;
    if ((this.#heard & bit) === 0) {
      this.#heard |= bit;
      if (this.points[keyClass] !== point || this.places[keyClass] === NOWHERE) this.#put(keyClass, point);
      this.weights[keyClass] = weight;
      return keyClass;
    }
    const at = this.#indexOf(point, keyClass);
    this.weights[at] += weight;
    return at;
  }

  /** A key class that comes back elsewhere than at so many cents off its key has a price, which fades: 1 to 0. */
  wasLastAt(keyClass: number, cents: number, fading: number): void {
    this.lastCents[keyClass] = cents;
    this.lastFading[keyClass] = fading;
  }

  /** Everything has been heard. */
  end(): void {
    for (let at = 0; at < 12; at++) {
      if ((this.#heard & (1 << at)) !== 0 || this.places[at] === NOWHERE) continue;
      this.places[at] = NOWHERE;
      this.#changed = true;
    }
    if (!this.#changed) return;
    this.#changed = false;
    this.#found = 0;
    const heard = this.points.filter((_, at) => at < this.size && this.places[at] !== NOWHERE);
    this.near = areNear(heard, MAX_INTERVAL_STEPS);
  }

  /** Whether a key class is heard or remembered. */
  hears(keyClass: number): boolean {
    return (this.#heard & (1 << keyClass)) !== 0;
  }

  /** Whether nothing at all is. */
  get isEmpty(): boolean {
    return this.#heard === 0;
  }

  /** Where a new note of a key class may go. Something must have been heard. */
  neighbourhoodOf(keyClass: number): Neighbourhood {
    const neighbourhood = this.#neighbourhoods[keyClass];
    const bit = 1 << keyClass;
    if ((this.#found & bit) === 0) {
      this.#found |= bit;
      neighbourhood.find(this.chooser, this, keyClass);
    }
    return neighbourhood;
  }

  /** Where a point of a key class stands that was heard before, there or elsewhere. */
  #indexOf(point: PrimeVector, keyClass: number): number {
    const place = toPlace(point);
    if (this.places[keyClass] === place) return keyClass;
    for (let at = 12; at < this.size; at++) if (this.places[at] === place) return at;
    if (this.size === this.places.length) this.#grow();
    const at = this.size++;
    this.keyClasses[at] = keyClass;
    this.#put(at, point);
    this.weights[at] = 0;
    this.#changed = true;
    return at;
  }

  #put(at: number, point: PrimeVector): void {
    this.points[at] = point;
    const place = toPlace(point);
    if (this.places[at] === place) return;
    this.places[at] = place;
    this.deviationCents[at] = toDeviationCents(point);
    this.fifths[at] = toFifths(point);
    this.#changed = true;
  }

  #grow(): void {
    this.places = doubled(this.places);
    this.fifths = doubled(this.fifths);
    this.deviationCents = doubled(this.deviationCents);
    this.weights = doubled(this.weights);
  }
}
