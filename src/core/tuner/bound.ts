import { type PrimeVector, sameClass } from '../theory/index.js';
import type { Consonances } from './consonance.js';
import type { RigidPart } from './rigid-chord.js';
import { HELD, type Surroundings } from './surroundings.js';

/** Held notes want a part at more than one place. */
export const CONTRADICTION = 'contradiction';

/**
 * Where held notes want a part, for all its consonances with them to be just.
 *
 * @param fifths by key class: its place on the line of fifths
 * @returns the point of its first key class; `undefined` where no held note makes a consonance with any of it
 * @example toBound(surroundings, part, fifths, toConsonances(5))  // 10/9, for D F beside a held A at 5/3
 */
export function toBound(
  { size, points, fifths: heard, bindings }: Surroundings,
  { classes, steps }: RigidPart,
  fifths: Int32Array,
  consonances: Consonances,
): PrimeVector | typeof CONTRADICTION | undefined {
  let bound: PrimeVector | undefined;
  for (let at = 0; at < size; at++) {
    if (bindings[at] !== HELD) continue;
    const [, three, five, seven, eleven, thirteen] = points[at];
    for (let i = 0; i < classes.length; i++) {
      const ratio = consonances.get(fifths[classes[i]] - heard[at]);
      if (ratio === undefined) continue;
      const [, threes, fives] = steps[i];
      const root: PrimeVector = [
        0,
        three + ratio[1] - threes,
        five + ratio[2] - fives,
        seven,
        eleven,
        thirteen,
      ];
      if (bound !== undefined && !sameClass(bound, root)) return CONTRADICTION;
      bound = root;
    }
  }
  return bound;
}
