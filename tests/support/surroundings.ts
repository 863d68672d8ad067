import fc from 'fast-check';
import { formatRatio, ratio } from '../../src/core/theory/index.js';
import { MAX_CANDIDATES, Rankings } from '../../src/core/tuner/candidates.js';
import { type Chooser, createChooser } from '../../src/core/tuner/chooser.js';
import { STOCK_WEIGHTS } from '../../src/core/tuner/index.js';
import { Surroundings } from '../../src/core/tuner/surroundings.js';
import { homeOn } from './play.js';

/** A chooser in the 5-limit, with just home on C. */
export const justChooser = createChooser({ limit: 5, weights: STOCK_WEIGHTS, home: homeOn('just', 'C') });

/** A note that is held: its key class and its ratio. */
export type HeldNote = readonly [keyClass: number, ratio: string];

/** Notes that are held, and nothing else. */
export function held(notes: readonly HeldNote[], chooser: Chooser = justChooser): Surroundings {
  const surroundings = new Surroundings(chooser);
  surroundings.begin();
  for (const [keyClass, text] of notes) {
    surroundings.hear(ratio(text), keyClass, 1);
    surroundings.wasLastAt(keyClass, 0, 1);
  }
  surroundings.end();
  return surroundings;
}

/** Some held notes of the just scale. */
export const heldNotes = fc
  .uniqueArray(fc.nat(11), { minLength: 1, maxLength: 4 })
  .map((classes) => classes.map((k): HeldNote => [k, formatRatio(homeOn('just', 'C').point(k))]));

/** The candidates of a key class, cheapest first. */
export function listCandidates(rankings: Rankings, keyClass: number) {
  rankings.rank(keyClass);
  return Array.from({ length: rankings.sizes[keyClass] }, (_, i) => {
    const at = keyClass * MAX_CANDIDATES + i;
    return {
      at,
      point: rankings.pointAt(at),
      place: rankings.places[at],
      deviationCents: rankings.deviationCents[at],
      cost: rankings.costs[at],
    };
  });
}

/** The candidates of a key class beside held notes, cheapest first. */
export function candidatesBeside(notes: readonly HeldNote[], keyClass: number, chooser?: Chooser) {
  return listCandidates(new Rankings(held(notes, chooser)), keyClass);
}
