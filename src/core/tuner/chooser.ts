import { type Home, toDeviationCents, toFifths } from '../theory/index.js';
import { createIntervals, type IntervalChoices } from './intervals.js';
import { createPairCost, type PairCost, toPlace } from './pair-cost.js';
import type { TunerSettings } from './settings.js';
import type { ChoiceWeights } from './weights.js';

/** What has to be known of the ratios of one key distance, in flat lists. */
export interface Steps {
  /** Their places in the flat table of pair costs. */
  readonly places: Int32Array;
  /** How far they stand from their keys in 12 equal, in cents, and on the line of fifths. */
  readonly deviationCents: Float64Array;
  readonly fifths: Int32Array;
}

/** The parts of a choice that stay the same from note to note. */
export interface Chooser {
  readonly intervals: IntervalChoices;
  /** The same as steps to go, by key distance 0..11. */
  readonly steps: readonly Steps[];
  readonly pairCost: PairCost;
  readonly weights: ChoiceWeights;
  readonly home: Home;
}

/** @example createChooser(toSettings({ limit: 7 })) */
export function createChooser({
  limit,
  weights,
  home,
}: Pick<TunerSettings, 'limit' | 'weights' | 'home'>): Chooser {
  const intervals = createIntervals(limit);
  const steps = intervals.map((ratios) => ({
    places: Int32Array.from(ratios, toPlace),
    deviationCents: Float64Array.from(ratios, toDeviationCents),
    fifths: Int32Array.from(ratios, toFifths),
  }));
  return { intervals, steps, pairCost: createPairCost(weights), weights, home };
}
