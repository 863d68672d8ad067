import { type PrimeVector, UNISON } from '../theory/index.js';
import type { Consonances } from './consonance.js';
import type { Struck } from './struck-classes.js';

/** Key classes that hang together by consonances, and where each stands from the first of them. */
export interface RigidPart {
  readonly classes: number[];
  /** Ratio of each to the first, octaves left out. */
  readonly steps: PrimeVector[];
}

/**
 * Which key classes struck together hang together by consonances. These have one just size each, so what hangs together
 * is rigid: it can only move as one.
 *
 * @param fifths by key class: its place on the line of fifths
 * @returns its parts; `undefined` where not all consonances can be just
 * @example toRigidChord(C E G, fifths, toConsonances(5))    // one part: 1/1, 5/4, 3/2
 * @example toRigidChord(C G D A E, fifths, toConsonances(5)) // undefined: four fifths are no major third
 */
export function toRigidChord(
  { size, classes }: Struck,
  fifths: Int32Array,
  consonances: Consonances,
): RigidPart[] | undefined {
  const parts: RigidPart[] = [];
  let reached = 0;
  for (let start = 0; start < size; start++) {
    if ((reached & (1 << classes[start])) !== 0) continue;
    const part: RigidPart = { classes: [classes[start]], steps: [UNISON] };
    reached |= 1 << classes[start];
    for (let i = 0; i < part.classes.length; i++) {
      const from = part.classes[i];
      for (let j = 0; j < size; j++) {
        const to = classes[j];
        if (to === from) continue;
        const ratio = consonances.get(fifths[to] - fifths[from]);
        if (ratio === undefined) continue;
        // A place on the line of fifths and a number of thirds: there is no more to a point here.
        const five = part.steps[i][2] + ratio[2];
        if ((reached & (1 << to)) === 0) {
          reached |= 1 << to;
          part.classes.push(to);
          part.steps.push([0, part.steps[i][1] + ratio[1], five, 0, 0, 0]);
        } else if (part.steps[part.classes.indexOf(to)][2] !== five) {
          return undefined;
        }
      }
    }
    parts.push(part);
  }
  return parts;
}
