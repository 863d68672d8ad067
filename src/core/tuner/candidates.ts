import { harmonicDistance, type PrimeVector, toDeviationCents, toFifths, UNISON } from '../theory/index.js';
import type { Surroundings } from './surroundings.js';

/** Candidates kept for each key class: the rest never won on real music. */
export const MAX_CANDIDATES = 6;
const LENGTH = 12 * MAX_CANDIDATES;
/** Costs closer than this are equal: what is left of floating point. */
const EQUAL = 1e-9;
/** Equal choices go to the one nearest home: a lean too weak to decide anything else, per cent of distance. */
const TIE_LEAN = 1e-7;

/**
 * Where a new note of each key class may go, and what each candidate costs against the surroundings: cheapest first.
 *
 * The candidates of all key classes lie in flat lists, those of key class k from index k · {@link MAX_CANDIDATES} on, so
 * that choosing among them makes nothing. What is ranked stays ranked until it is cleared.
 */
export class Rankings {
  readonly surroundings: Surroundings;
  /** By key class: how many candidates it has, 1 to {@link MAX_CANDIDATES}; 0 while it isn't ranked. */
  readonly sizes = new Int32Array(12);
  /** By candidate: its place in the flat table of pair costs, and how far it stands from its key in 12 equal, in cents. */
  readonly places = new Int32Array(LENGTH);
  readonly deviationCents = new Float64Array(LENGTH);
  readonly costs = new Float64Array(LENGTH);
  /** By candidate: which one of its neighbourhood it is, and its point, once it was asked for. */
  readonly #indexes = new Int32Array(LENGTH);
  readonly #points = new Array<PrimeVector | undefined>(LENGTH).fill(undefined);

  constructor(surroundings: Surroundings) {
    this.surroundings = surroundings;
  }

  /** The surroundings have changed. */
  clear(): void {
    this.sizes.fill(0);
  }

  /**
   * Ranks a key class, unless it is ranked: every point that has a fair ratio to something heard or remembered, by the
   * sum of its pair costs against all of that and the price of coming back elsewhere, of spelling and of home. Of equals
   * the smaller ratio to the tonic.
   */
  rank(keyClass: number): void {
    if (this.sizes[keyClass] > 0) return;
    const { surroundings } = this;
    const { size, weights, places, deviationCents, fifths } = surroundings;
    const neighbourhood = surroundings.neighbourhoodOf(keyClass);
    const { from, steps, pairCosts } = neighbourhood;
    for (let i = 0, row = 0; i < neighbourhood.size; i++, row += size) {
      const cents = deviationCents[from[i]] + neighbourhood.deviationCents[i];
      let cost = toPrice(surroundings, keyClass, cents, fifths[from[i]] + neighbourhood.fifths[i]);
      for (let at = 0; at < size; at++) cost += weights[at] * pairCosts[row + at];
      this.#insert(keyClass, i, cost);
    }
    const first = keyClass * MAX_CANDIDATES;
    for (let at = first; at < first + this.sizes[keyClass]; at++) {
      const i = this.#indexes[at];
      this.places[at] = places[from[i]] + steps[i];
      this.deviationCents[at] = deviationCents[from[i]] + neighbourhood.deviationCents[i];
      this.#points[at] = undefined;
    }
  }

  /** A candidate's point, octaves left out. */
  pointAt(at: number): PrimeVector {
    let point = this.#points[at];
    if (point === undefined) {
      const keyClass = Math.trunc(at / MAX_CANDIDATES);
      point = this.surroundings.pointAt(keyClass, this.#indexes[at]);
      this.#points[at] = point;
    }
    return point;
  }

  /** Keeps the list sorted and short: of equals the smaller ratio comes first; from a full list the last falls out. */
  #insert(keyClass: number, index: number, cost: number): void {
    const { costs, sizes } = this;
    const indexes = this.#indexes;
    const first = keyClass * MAX_CANDIDATES;
    let at = first + sizes[keyClass];
    if (sizes[keyClass] < MAX_CANDIDATES) sizes[keyClass]++;
    else if (cost >= costs[--at]) return;
    for (; at > first && costs[at - 1] > cost - EQUAL; at--) {
      if (costs[at - 1] <= cost + EQUAL && !this.#isSmaller(keyClass, index, indexes[at - 1])) break;
      indexes[at] = indexes[at - 1];
      costs[at] = costs[at - 1];
    }
    indexes[at] = index;
    costs[at] = cost;
  }

  /** Whether one candidate of a neighbourhood is a smaller ratio to the tonic than another. Seldom asked. */
  #isSmaller(keyClass: number, index: number, than: number): boolean {
    const sizeOf = (i: number) => harmonicDistance(this.surroundings.pointAt(keyClass, i), UNISON);
    return sizeOf(index) < sizeOf(than);
  }
}

/**
 * What one point costs a new note of a key class: the same sum {@link Rankings} go by, for a point of one's own.
 * @example costAt(surroundings, 0, rankings.pointAt(0))  // rankings.costs[0]
 */
export function costAt(surroundings: Surroundings, keyClass: number, point: PrimeVector): number {
  const { pairCost } = surroundings.chooser;
  const { size, points, weights } = surroundings;
  let cost = toPrice(surroundings, keyClass, toDeviationCents(point), toFifths(point));
  for (let at = 0; at < size; at++) {
    if (weights[at] !== 0) cost += weights[at] * pairCost.between(point, points[at]);
  }
  return cost;
}

/** What is added to the harmony of a point of the key class: the price of coming back elsewhere, of spelling and home. */
function toPrice(
  { chooser, lastCents, lastFading, fifthsMean, offsetCents, homeLean }: Surroundings,
  keyClass: number,
  deviationCents: number,
  fifths: number,
): number {
  const { weights, home } = chooser;
  let price = weights.fifthsPrice * Math.abs(fifths - fifthsMean - weights.fifthsBias);
  price += (homeLean + TIE_LEAN) * Math.abs(deviationCents + offsetCents - home.deviationCents(keyClass));
  const away = Math.abs(deviationCents - lastCents[keyClass]);
  if (lastFading[keyClass] > 0 && away > 0.5) {
    const step = weights.returnStep + Math.min(3, away / weights.returnCents);
    price += weights.returnPrice * lastFading[keyClass] * step;
  }
  return price;
}
