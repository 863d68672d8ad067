import { describe, expect, test } from 'vitest';
import { fromKeptHome, toHome, toKeptHome } from '../../../src/core/theory/index.js';

const KEY_CLASSES = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11];

describe('a home scale as plain data', () => {
  test.each(['equal', 'just', 'meantone', 'pythagorean'] as const)('%s is the same again', (kind) => {
    const home = toHome({ kind, tonic: { keyClass: 2, fifths: 2 } });
    const again = fromKeptHome(structuredClone(toKeptHome(home)));
    expect([again.kind, again.tonic]).toEqual([home.kind, home.tonic]);
    expect(KEY_CLASSES.map(again.deviationCents)).toEqual(KEY_CLASSES.map(home.deviationCents));
    expect(KEY_CLASSES.map(again.point)).toEqual(KEY_CLASSES.map(home.point));
  });

  test('the third of just D is 13.686 cents below its key', () => {
    const kept = toKeptHome(toHome({ kind: 'just', tonic: { keyClass: 2, fifths: 2 } }));
    expect(kept.deviationCents[6]).toBeCloseTo(-13.686, 3);
  });
});
