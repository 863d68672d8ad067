import { type PrimeVector, toDeviationCents, toFifths, UNISON } from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { doubled } from './doubled.js';
import { type HeardPoints, type Neighbourhood, NOWHERE } from './neighbourhood.js';
import { toPlace } from './pair-cost.js';
import { Shape } from './shape.js';

/** Seldom is more heard at once. */
const FIRST_CAPACITY = 24;
/** So many shapes come and go in a progression that goes round. */
const KEPT_SHAPES = 8;

/**
 * What new notes are measured against: every point that is heard or remembered, how much each counts, and where each key
 * class was last.
 *
 * Weights change with every moment; how the points lie to each other seldom does, since memory mostly keeps what sounds
 * again. So what follows from that alone, the neighbourhood of each key class, is kept for the last few shapes.
 *
 * Filled in one go: {@link begin}, then {@link hear} for each point, then {@link end}.
 *
 * @example
 * surroundings.begin();
 * surroundings.hear(UNISON, 0, 1);
 * surroundings.end();
 * surroundings.pointAt(4, 0);  // [0, 0, 1, 0, 0, 0]: 5/4
 */
export class Surroundings implements HeardPoints {
  readonly chooser: Chooser;
  size = 12;
  readonly points: PrimeVector[] = new Array<PrimeVector>(12).fill(UNISON);
  readonly keyClasses: number[] = Array.from({ length: 12 }, (_, keyClass) => keyClass);
  places = new Int32Array(FIRST_CAPACITY).fill(NOWHERE);
  deviationCents = new Float64Array(FIRST_CAPACITY);
  fifths = new Int32Array(FIRST_CAPACITY);
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
  /** The last shapes, in no order, the one that holds now, and the one to be given up next. */
  readonly #shapes: Shape[] = [new Shape()];
  #shape = this.#shapes[0];
  #oldest = 0;
  /** A bit for each key class that was heard. */
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
    const known = this.#shapes.find((shape) => shape.fits(this));
    this.#shape = known ?? this.#takeShape();
  }

  /** The points and all their candidates lie so close together that the flat table answers for every pair of them. */
  get near(): boolean {
    return this.#shape.near;
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
    return this.#shape.neighbourhoodOf(this.chooser, this, keyClass);
  }

  /** The point of a candidate of its neighbourhood, octaves left out. */
  pointAt(keyClass: number, i: number): PrimeVector {
    return this.neighbourhoodOf(keyClass).pointAt(this, i);
  }

  #takeShape(): Shape {
    if (this.#shapes.length < KEPT_SHAPES) this.#shapes.push(new Shape());
    this.#oldest = (this.#oldest + 1) % this.#shapes.length;
    const shape = this.#shapes[this.#oldest];
    shape.take(this);
    return shape;
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
