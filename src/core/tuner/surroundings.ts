import {
  type PrimeVector,
  sameClass,
  toCommas,
  toDeviationCents,
  toFifths,
  UNISON,
} from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { toCommaPrice, toPriceIndex, toPriceTable } from './comma-prices.js';

/** How much an impure consonance counts: with a note meant to sound on, and with any other. */
export const HELD = 1;
export const LOOSE = 0.005;

/** The share left of what ended two seconds ago: above it counts as just ended. */
const JUST_ENDED = 0.2;

/** From the least to the most. */
export type Span = readonly [least: number, most: number];

/** Weight of home where nothing was ever heard. */
const FAINT = 0.01;

/** Most points of one key class. No consonance fits two that sound, so more change nothing. */
const MAX_POINTS = 2;
const CAPACITY = 12 * MAX_POINTS;
/** A key class never heard has no last spelling. */
export const UNSPELLED = 1 << 20;

/**
 * What new notes are measured against: every point heard or remembered, how much each counts, and the last place of
 * each key class. However many notes sound, these are a few points for each of twelve key classes. Filled in one go:
 * {@link begin}, then {@link hear} for each point, those that count most first.
 *
 * @example
 * const surroundings = new Surroundings(createChooser(DEFAULT_SETTINGS));
 * surroundings.begin();
 * surroundings.hear(UNISON, 0, 0, HELD);
 * surroundings.hear(ratio('5/4'), 4, 0, HELD);
 * surroundings.spanOfHeld(surroundings.fifths)  // [0, 4]: C and E
 */
export class Surroundings {
  readonly chooser: Chooser;
  /** The number of points; their point, key class and place on the line of fifths. */
  size = 0;
  readonly points: PrimeVector[] = new Array<PrimeVector>(CAPACITY).fill(UNISON);
  readonly keyClasses = new Int32Array(CAPACITY);
  readonly fifths = new Int32Array(CAPACITY);
  /** How many syntonic commas each is below the chain of pure fifths. */
  readonly commas = new Int32Array(CAPACITY);
  /** How much of each silent point is left as just ended, and as ended a while ago. */
  readonly recents = new Float64Array(CAPACITY);
  readonly lastings = new Float64Array(CAPACITY);
  /** How much an impure consonance with each point counts: {@link HELD}, {@link LOOSE}, or 0 if silent. */
  readonly bindings = new Float64Array(CAPACITY);
  readonly #counts = new Int32Array(12);
  readonly lastFifths = new Int32Array(12);
  /** By key class: how much of that is left. */
  readonly lastShares = new Float64Array(12);
  /** Nothing was ever heard: only home counts. */
  isSilent = false;
  /** Coming back elsewhere costs by the pitch heard in the whole choice, not by each point. */
  isAnchored = false;
  /** By key class: the present place of a note of the strike. */
  readonly placed: (PrimeVector | undefined)[] = new Array<PrimeVector | undefined>(12).fill(undefined);
  /** The primes above 5 of new notes; its 2, 3 and 5 don't matter. */
  level: PrimeVector = UNISON;
  /** Mean place of the music on the line of fifths, from the tonic. */
  fifthsMean = 0;
  /** The common offset, in cents, and the price of a cent away from home. */
  offsetCents = 0;
  homeLean = 0;

  readonly #soundingPrices: Float64Array;
  readonly #recentPrices: Float64Array;
  readonly #lastingPrices: Float64Array;
  #hasHigh = false;

  constructor(chooser: Chooser) {
    this.chooser = chooser;
    const { sounding, recent, lasting } = chooser.prices;
    this.#soundingPrices = toPriceTable(sounding);
    this.#recentPrices = toPriceTable(recent);
    this.#lastingPrices = toPriceTable(lasting);
  }

  begin(): void {
    this.size = 0;
    this.isSilent = false;
    this.#hasHigh = false;
    this.level = UNISON;
    this.#counts.fill(0);
    this.lastFifths.fill(UNSPELLED);
    this.placed.fill(undefined);
  }

  /**
   * Adds a point. However many notes are on it, it counts once, as the first of them.
   *
   * @param ageSeconds how long ago its key came up; 0 while it is down
   * @param binding    how much an impure consonance with it counts
   */
  hear(point: PrimeVector, keyClass: number, ageSeconds: number, binding: number): void {
    if (this.#counts[keyClass] === MAX_POINTS) return;
    if (this.#counts[keyClass] > 0 && this.#isHeard(point, keyClass)) return;
    this.#counts[keyClass]++;
    const at = this.size++;
    this.points[at] = point;
    this.#hasHigh ||= isHigh(point);
    this.keyClasses[at] = keyClass;
    this.fifths[at] = toFifths(point);
    this.commas[at] = toCommas(point);
    this.bindings[at] = binding;
    const { recentSeconds, lastingSeconds } = this.chooser.prices;
    this.recents[at] = binding === HELD ? 0 : Math.exp(-ageSeconds / recentSeconds);
    this.lastings[at] = binding === HELD ? 0 : Math.exp(-ageSeconds / lastingSeconds);
    if (this.lastFifths[keyClass] === UNSPELLED) {
      this.lastFifths[keyClass] = this.fifths[at];
      this.lastShares[keyClass] = Math.exp(-ageSeconds / recentSeconds);
    }
  }

  /**
   * Nothing was ever heard: what is struck is best at home. That weighs little beside the chord's own harmony; so a
   * bare whole tone is 9/8, wherever home has 10/9.
   *
   * @param struck key classes, each once
   * @param seeds  by key class: its place at home
   */
  addHome(struck: Iterable<number>, seeds: readonly PrimeVector[]): void {
    this.begin();
    for (const keyClass of struck) this.hear(seeds[keyClass], keyClass, 0, 0);
    this.recents.fill(FAINT, 0, this.size);
    this.lastings.fill(FAINT, 0, this.size);
    this.lastFifths.fill(UNSPELLED);
    this.isSilent = true;
    // The offset brings the first chord home as a whole: no note of it has to be near.
    this.homeLean = 0;
  }

  /** The least and the greatest of a figure of the held points; `undefined` where nothing is held. */
  spanOfHeld(figures: Int32Array): Span | undefined {
    return this.#spanOf(figures, (at) => this.bindings[at] === HELD);
  }

  /** The same of points just ended. */
  spanOfEnded(figures: Int32Array): Span | undefined {
    return this.#spanOf(figures, (at) => this.recents[at] > JUST_ENDED);
  }

  includes(keyClass: number): boolean {
    return this.#counts[keyClass] > 0;
  }

  get isEmpty(): boolean {
    return this.size === 0;
  }

  /** What a point costs a new note of a key class beside what was heard, and by its distance from home. */
  costAt(keyClass: number, point: PrimeVector): number {
    const { size, points, fifths, commas: heard, bindings, recents, lastings } = this;
    const { chooser, homeLean, offsetCents } = this;
    const { pairCost, weights, home } = chooser;
    const own = toFifths(point);
    const ownCommas = toCommas(point);
    const away = toDeviationCents(point) + offsetCents - home.deviationCents[keyClass];
    let cost = (homeLean + TIE_LEAN) * Math.abs(away);
    const before = this.placed[keyClass];
    if (before !== undefined && !sameClass(before, point)) cost += weights.revisionPrice;
    const isHighAnywhere = this.#hasHigh || isHigh(point);
    for (let at = 0; at < size; at++) {
      const apart = own - fifths[at];
      const binding = bindings[at];
      // Under an anchor the pitch comes back, not the point: `anchor-cost.ts`.
      if (apart === 0 && this.isAnchored && binding === 0) continue;
      const price = toPriceIndex(apart, ownCommas - heard[at]);
      if (price >= 0) {
        if (binding === HELD) cost += this.#soundingPrices[price];
        else cost += recents[at] * this.#recentPrices[price] + lastings[at] * this.#lastingPrices[price];
      }
      if (binding !== 0) cost += binding * pairCost.impurityOf(point, points[at]);
      if (isHighAnywhere) cost += weights.highPrime * toHighSteps(point, points[at]);
    }
    return cost;
  }

  #spanOf(figures: Int32Array, counts: (at: number) => boolean): Span | undefined {
    let [least, most] = [Infinity, -Infinity];
    for (let at = 0; at < this.size; at++) {
      if (!counts(at)) continue;
      least = Math.min(least, figures[at]);
      most = Math.max(most, figures[at]);
    }
    return most === -Infinity ? undefined : [least, most];
  }

  #isHeard(point: PrimeVector, keyClass: number): boolean {
    for (let at = 0; at < this.size; at++)
      if (this.keyClasses[at] === keyClass && sameClass(this.points[at], point)) return true;
    return false;
  }
}

function isHigh(point: PrimeVector): boolean {
  return point[3] !== 0 || point[4] !== 0 || point[5] !== 0;
}

/** By how many steps of primes above 5 two points differ. */
function toHighSteps(a: PrimeVector, b: PrimeVector): number {
  return Math.abs(a[3] - b[3]) + Math.abs(a[4] - b[4]) + Math.abs(a[5] - b[5]);
}

/** Breaks ties toward home: too little to decide anything else, per cent of distance. */
const TIE_LEAN = 1e-7;

/**
 * What two points struck together cost: their shades, and an impure consonance. 0 or more; an impure consonance
 * outweighs any shade.
 *
 * @example toPairPrice(createChooser(DEFAULT_SETTINGS), ratio('3/2'), UNISON)  // 0: a just fifth is free
 */
export function toPairPrice({ pairCost, prices }: Chooser, a: PrimeVector, b: PrimeVector): number {
  const price = toCommaPrice(prices.sounding, toFifths(a) - toFifths(b), toCommas(a) - toCommas(b));
  return price + HELD * pairCost.impurityOf(a, b);
}
