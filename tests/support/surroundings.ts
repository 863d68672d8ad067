import fc from 'fast-check';
import { type PrimeVector, ratio, toDeviationCents, UNISON } from '../../src/core/theory/index.js';
import { toKeyClass } from '../../src/core/theory/vector.js';
import { type Chooser, createChooser } from '../../src/core/tuner/chooser.js';
import { DEFAULT_WEIGHTS, HELD, LOOSE, Surroundings, toPoint } from '../../src/core/tuner/index.js';
import type { Struck } from '../../src/core/tuner/places.js';
import { homeOn } from './play.js';

/** A chooser in the 5-limit, with just home on C. */
export const justChooser = createChooser({
  limit: 5,
  weights: DEFAULT_WEIGHTS,
  home: homeOn('just', 'C'),
  recallCents: 0,
});

/** A note by its spelling and its shade: E⁻¹ is 4 fifths up the line from C, and a comma down. */
export interface Shade {
  readonly fifths: number;
  readonly commas: number;
}

/** A shade that was heard: so long ago, and counting so much. */
export interface Heard extends Shade {
  readonly ageSeconds: number;
  readonly binding: number;
}

/** The key class of a place on the line of fifths, the tonic being C. @example toClass(8) // 8: G sharp */
export function toClass(fifths: number): number {
  return toKeyClass(7 * fifths);
}

/** The point of a shade. */
export function pointOf({ fifths, commas }: Shade): PrimeVector {
  return toPoint(fifths, commas, UNISON);
}

/** What is heard, held notes first. */
export function hear(heard: readonly Heard[], chooser: Chooser = justChooser): Surroundings {
  const surroundings = new Surroundings(chooser);
  surroundings.begin();
  for (const one of [...heard].sort((a, b) => b.binding - a.binding))
    surroundings.hear(pointOf(one), toClass(one.fifths), one.ageSeconds, one.binding);
  return surroundings;
}

/** A shade that is held, by a ratio in primes 3 and 5. @example heldAt('5/4') // E⁻¹ */
export function heldAt(text: string): Heard {
  const [, three, five] = ratio(text);
  return { fifths: three + 4 * five, commas: five, ageSeconds: 0, binding: HELD };
}

/** Held notes, notes only a pedal holds, and notes that have ended. */
export const heardShades: fc.Arbitrary<Heard> = fc
  .record({
    fifths: fc.integer({ min: -6, max: 8 }),
    commas: fc.integer({ min: -1, max: 2 }),
    ageSeconds: fc.double({ min: 0, max: 8, noNaN: true }),
    binding: fc.constantFrom(HELD, HELD, LOOSE, 0),
  })
  .map((one) => (one.binding === HELD ? { ...one, ageSeconds: 0 } : one));

/** Key classes struck together, one note each, in the order given. */
export function strike(classes: readonly number[]): Struck {
  const counts = new Int32Array(12);
  for (const keyClass of classes) counts[keyClass] = 1;
  return { size: classes.length, classes: Int32Array.from(classes), counts };
}

/** Cents of a point off its key. */
export function centsOf(shade: Shade): number {
  return toDeviationCents(pointOf(shade));
}
