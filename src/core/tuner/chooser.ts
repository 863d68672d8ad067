import { type Home, type PrimeLimit, type PrimeVector, toHome } from '../theory/index.js';
import type { PriceList } from './comma-prices.js';
import { type Consonances, toConsonances } from './consonance.js';
import { createPairCost, type PairCost } from './pair-cost.js';
import type { TunerSettings } from './settings.js';
import type { ChoiceWeights } from './weights.js';

/** The parts of a choice that stay the same from note to note. */
export interface Chooser {
  readonly pairCost: PairCost;
  readonly consonances: Consonances;
  /** How many cents a note may be off its pure interval to come back to its old pitch. */
  readonly recallCents: number;
  /** No thirds: a spelling leaves one place for each note. */
  readonly isFifthsOnly: boolean;
  readonly weights: ChoiceWeights;
  readonly prices: PriceList;
  readonly home: Home;
}

/**
 * What the choices of a strike depend on, from the settings. Made once for each settings object, not on the note path.
 *
 * @example createChooser({ ...DEFAULT_SETTINGS, limit: 3 }).isFifthsOnly  // true
 */
export function createChooser({
  limit,
  weights,
  home,
  recallCents,
}: Pick<TunerSettings, 'limit' | 'weights' | 'home' | 'recallCents'>): Chooser {
  const consonances = toConsonances(limit);
  const pairCost = createPairCost(weights, consonances, recallCents);
  return {
    pairCost,
    consonances,
    recallCents,
    isFifthsOnly: limit === 3,
    weights,
    prices: weights.prices,
    home,
  };
}

/**
 * The place of each key class when nothing was ever heard, by key class 0..11.
 *
 * That is its place at home, unless home uses a prime there that choices don't: those above the limit, and 7, 11 and
 * 13, which enter by the harmonic chord alone. Then it is the place in the just scale on the same tonic, in the 3-limit
 * in the Pythagorean one.
 *
 * @param home its points are by key class 0..11
 * @example
 * const home = toHome({ kind: 'just', tonic: { keyClass: 0, fifths: 0 } });
 * createSeeds(home, 3)[4]  // [-6, 4, 0, 0, 0, 0]: 81/64, not 5/4
 */
export function createSeeds(home: Home, limit: PrimeLimit): readonly PrimeVector[] {
  const plain = toHome({ kind: limit === 3 ? 'pythagorean' : 'just', tonic: home.tonic });
  return Array.from({ length: 12 }, (_, keyClass) => {
    const point = home.points[keyClass];
    return isPlain(point, limit) ? point : plain.points[keyClass];
  });
}

function isPlain(point: PrimeVector, limit: PrimeLimit): boolean {
  const [, , five, seven, eleven, thirteen] = point;
  return (five === 0 || limit > 3) && seven === 0 && eleven === 0 && thirteen === 0;
}
