import { describe, expect, test } from 'vitest';
import { type HomeChoice, MEANTONE_FIFTH_CENTS, toHome } from '../../src/core/theory/index.js';
import { expectPrinted } from '../core/theory/help.js';

/** Cents between two keys of a home on C. */
function interval(kind: 'just' | 'meantone' | 'pythagorean', low: number, high: number): number {
  const choice: HomeChoice = { kind, tonic: { keyClass: 0, fifths: 0 } };
  const home = toHome(choice);
  const pitch = (key: number) => 100 * key + home.deviationCents[key % 12];
  return pitch(high) - pitch(low);
}

describe('the 5-limit scale on C, in cents from 12 equal,', () => {
  // Computed from 1/1 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8, to three decimals.
  const offsets =
    '0 +11.731 +3.910 +15.641 -13.686 -1.955 -9.776 +1.955 +13.686 -15.641 +17.596 -11.731'.split(' ');
  test.each(offsets.map((printed, key) => [key, printed] as const))('has key %i at %s', (key, printed) => {
    expectPrinted(interval('just', 0, key) - 100 * key, printed);
  });
});

describe('quarter-comma meantone', () => {
  // Encyclopaedia page "Quarter-comma meantone": the fifth, and the diesis that twelve of them lack.
  test('has a fifth of 696.578 cents', () => {
    expectPrinted(MEANTONE_FIFTH_CENTS, '696.578');
    expectPrinted(interval('meantone', 0, 7), '696.578');
  });

  test('falls 41.059 cents short of seven octaves with twelve fifths', () => {
    expectPrinted(8400 - 12 * MEANTONE_FIFTH_CENTS, '41.059');
  });

  test('has eleven such fifths, and the wolf from G♯ to E♭ is wider by that diesis', () => {
    for (let key = 0; key < 12; key++) {
      expectPrinted(interval('meantone', key, key + 7), key === 8 ? '737.637' : '696.578');
    }
  });

  test('has pure major thirds on eight notes', () => {
    const pure = [0, 2, 3, 4, 5, 7, 9, 10];
    for (let key = 0; key < 12; key++) {
      const third = interval('meantone', key, key + 4);
      expect(Math.abs(third - 386.3137) < 5e-4, `third on key ${key} is ${third}`).toBe(pure.includes(key));
    }
  });
});

describe('Pythagorean tuning', () => {
  // Limma 90.225 and apotome 113.685 from a printed list of small commas; the wolf from memory.
  test('has eleven pure fifths and the wolf from G♯ to E♭', () => {
    for (let key = 0; key < 12; key++) {
      expectPrinted(interval('pythagorean', key, key + 7), key === 8 ? '678.495' : '701.955');
    }
  });

  test('has limma and apotome for its semitones', () => {
    expectPrinted(interval('pythagorean', 4, 5), '90.225');
    expectPrinted(interval('pythagorean', 0, 1), '113.685');
  });
});
