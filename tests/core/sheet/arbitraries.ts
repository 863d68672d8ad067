import fc from 'fast-check';
import type { PrimeLimit } from '../../../src/core/theory/index.js';
import type { BuiltNote } from '../../support/build-midi.js';

/** Chords as they may come: up to ten notes anywhere on the keyboard, clusters and ties among them. */
export function chords(): fc.Arbitrary<{ notes: BuiltNote[]; limit: PrimeLimit }> {
  const chord = fc.tuple(
    fc.integer({ min: 21, max: 96 }),
    fc.array(fc.record({ up: fc.integer({ min: 0, max: 14 }), longer: fc.boolean() }), { maxLength: 9 }),
  );
  return fc.record({
    notes: fc.array(chord, { minLength: 1, maxLength: 7 }).map((list) =>
      list.flatMap(([low, rest], i) => {
        const keys = new Map<number, boolean>([[low, false]]);
        for (const { up, longer } of rest) keys.set(Math.min(108, low + up), longer);
        return [...keys].map(([key, longer]): BuiltNote => [i, i + (longer ? 2 : 1), key]);
      }),
    ),
    limit: fc.constantFrom(3, 5, 7, 13),
  });
}
