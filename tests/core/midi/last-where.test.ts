import fc from 'fast-check';
import { expect, test } from 'vitest';
import { lastWhere } from '../../../src/core/midi/tempo-map.js';

test('property: the same as looking at every item', () => {
  const sorted = fc
    .array(fc.integer({ min: 0, max: 50 }), { minLength: 1 })
    .map((items) => items.sort((a, b) => a - b));
  fc.assert(
    fc.property(sorted, fc.integer({ min: -1, max: 51 }), (items, most) => {
      const slowly = items.filter((item) => item <= most).at(-1) ?? items[0];
      expect(lastWhere(items, (item) => item <= most)).toBe(slowly);
    }),
  );
});
