import fc from 'fast-check';
import { formatRatio, type PrimeVector, ratio } from '../../src/core/theory/index.js';
import { isNear, type Surroundings } from '../../src/core/tuner/candidates.js';
import { toPlace } from '../../src/core/tuner/pair-cost.js';
import { homeOn } from './play.js';

/** Notes that are held, by key class, and nothing else. */
export function held(...notes: [keyClass: number, ratio: string][]): Surroundings {
  const last = new Array<{ point: PrimeVector; ageSeconds: number } | undefined>(12).fill(undefined);
  const context = notes.map(([keyClass, text]) => {
    const point = ratio(text);
    return { point, place: toPlace(point), keyClass, weight: 1 };
  });
  for (const { point, keyClass } of context) last[keyClass] = { point, ageSeconds: 0 };
  return { context, near: isNear(context), last, fifthsMean: 0, offsetCents: 0, homeLean: 0 };
}

/** A scene of held notes of the just scale. */
export const heldScene = fc
  .uniqueArray(fc.nat(11), { minLength: 1, maxLength: 4 })
  .map((classes) =>
    held(...classes.map((k): [number, string] => [k, formatRatio(homeOn('just', 'C').point(k))])),
  );
