import type { Home } from '../theory/index.js';
import type { PriceList } from './comma-prices.js';
import { type Consonances, toConsonances } from './consonance.js';
import { createPairCost, type PairCost } from './pair-cost.js';
import type { TunerSettings } from './settings.js';
import type { ChoiceWeights } from './weights.js';

/** The parts of a choice that stay the same from note to note. */
export interface Chooser {
  readonly pairCost: PairCost;
  readonly consonances: Consonances;
  /** How many cents a note may be off its pure interval to come back where it was. */
  readonly recallCents: number;
  /** No thirds: a spelling leaves one place for each note. */
  readonly isFifthsOnly: boolean;
  readonly weights: ChoiceWeights;
  readonly prices: PriceList;
  readonly home: Home;
}

/** @example createChooser(toSettings({ limit: 7 })) */
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
