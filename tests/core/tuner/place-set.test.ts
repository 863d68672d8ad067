import fc from 'fast-check';
import { expect, it } from 'vitest';
import { PlaceSet } from '../../../src/core/tuner/place-set.js';

it('is a set that forgets everything when it is cleared', () => {
  fc.assert(
    fc.property(fc.array(fc.option(fc.nat(9)), { maxLength: 60 }), (moves) => {
      const places = new PlaceSet(10);
      let model = new Set<number>();
      for (const member of moves) {
        if (member === null) {
          places.clear();
          model = new Set();
        } else {
          expect(places.add(member)).toBe(!model.has(member));
          model.add(member);
        }
      }
    }),
  );
});
