import { describe, expect, test } from 'vitest';
import {
  divide,
  formatRatio,
  type PrimeLimit,
  type PrimeVector,
  ratio,
  sameClass,
  toCents,
} from '../../src/core/theory/index.js';
import { Playing } from '../support/play.js';

/**
 * Chords of the handbooks, struck from a cold start: keys above the root, and the proportion they must sound in.
 *
 * In the 5-limit every third that can be pure is; that is also the form with the lowest gradus (L. Euler, Tentamen
 * novae theoriae musicae, 1739: the gradus of the lcm): 20:25:30:36 has 15 where 36:45:54:64 has 17. With prime 7 the
 * dominant seventh is 4:5:6:7, as Euler heard it.
 */
const CHORDS: readonly (readonly [name: string, keys: number[], five: string, seven: string])[] = [
  ['major', [0, 4, 7], '4:5:6', '4:5:6'],
  ['minor', [0, 3, 7], '10:12:15', '10:12:15'],
  ['diminished', [0, 3, 6], '25:30:36', '5:6:7'],
  ['sus2', [0, 2, 7], '8:9:12', '8:9:12'],
  ['sus4', [0, 5, 7], '6:8:9', '6:8:9'],
  ['6', [0, 4, 7, 9], '12:15:18:20', '12:15:18:20'],
  ['minor 6', [0, 3, 7, 9], '30:36:45:50', '6:7:9:10'],
  ['7', [0, 4, 7, 10], '20:25:30:36', '4:5:6:7'],
  ['major 7', [0, 4, 7, 11], '8:10:12:15', '8:10:12:15'],
  ['minor 7', [0, 3, 7, 10], '10:12:15:18', '10:12:15:18'],
  ['half-diminished 7', [0, 3, 6, 10], '25:30:36:45', '5:6:7:9'],
  ['add 9', [0, 2, 4, 7], '8:9:10:12', '8:9:10:12'],
  ['9', [0, 4, 7, 10, 14], '20:25:30:36:45', '4:5:6:7:9'],
  ['major 9', [0, 4, 7, 11, 14], '8:10:12:15:18', '8:10:12:15:18'],
];

/** Struck within the strike window of 30 ms. */
const APART_MS = 5;

/** Each note's ratio to the root, octaves left out, from `10:12:15`. */
function toRatios(proportion: string): PrimeVector[] {
  const [root, ...others] = proportion.split(':');
  return [root, ...others].map((part) => ratio(`${part}/${root}`));
}

/** Plays keys in an order from a cold start and checks the ratios to the first of them, octaves left out. */
function expectRatios(
  limit: PrimeLimit,
  keys: readonly number[],
  order: readonly number[],
  ratios: PrimeVector[],
): void {
  const playing = new Playing({ limit, strategy: 'free' }).strike(
    order.map((i) => keys[i]),
    APART_MS,
  );
  const found = keys.map((key) => divide(playing.point(key), playing.point(keys[0])));
  // `expect` is slow; it is asked only for its words.
  if (found.every((vector, i) => sameClass(vector, ratios[i]))) return;
  expect(found.map(formatRatio), `keys ${keys} in the order ${order}`).toEqual(ratios.map(formatRatio));
}

/** Inversions: the lowest notes go up by an octave. Open: every second note goes up by another. */
function toVoicings(keys: readonly number[]): number[][] {
  return keys.flatMap((_, inversion) => {
    const close = keys.map((key, i) => (i < inversion ? key + 12 : key));
    return [close, close.map((key, i) => (i % 2 === 1 ? key + 12 : key))];
  });
}

/** All orders of up to four notes; every sixth order of five. */
function toOrders(count: number): number[][] {
  let orders: number[][] = [[]];
  for (let i = 0; i < count; i++) {
    orders = orders.flatMap((order) =>
      Array.from({ length: i + 1 }, (_, at) => [...order.slice(0, at), i, ...order.slice(at)]),
    );
  }
  return count < 5 ? orders : orders.filter((_, i) => i % 6 === 0);
}

describe.each([
  [5, 2],
  [7, 3],
] as const)('in the %i-limit, from a cold start,', (limit, column) => {
  test.each(CHORDS)('%s has the same ratios on every root, inverted, close and open', (...chord) => {
    const [, keys] = chord;
    for (let root = 48; root < 60; root++) {
      for (const voicing of toVoicings(keys)) {
        const sounding = voicing.map((key) => root + key);
        expectRatios(limit, sounding, [...keys.keys()], toRatios(chord[column]));
      }
    }
  });

  test.each(CHORDS)('%s has the same ratios in every order of arrival', (...chord) => {
    const [, keys] = chord;
    let root = 0;
    for (const order of toOrders(keys.length)) {
      for (const voicing of toVoicings(keys)) {
        // Every order meets every voicing, on roots taken in turn (11 is prime to 6, 8 and 10 voicings).
        root = (root + 11) % 12;
        expectRatios(
          limit,
          voicing.map((key) => 48 + root + key),
          order,
          toRatios(chord[column]),
        );
      }
    }
  });

  test('an augmented triad has two pure thirds, and 32/25 between the other two notes', () => {
    for (const order of toOrders(3)) {
      for (let root = 48; root < 60; root++) {
        const keys = [root, root + 4, root + 8];
        const playing = new Playing({ limit, strategy: 'free' }).strike(
          order.map((i) => keys[i]),
          APART_MS,
        );
        const thirds = [
          playing.ratio(root + 4, root),
          playing.ratio(root + 8, root + 4),
          formatRatio(divide(ratio('2/1'), divide(playing.point(root + 8), playing.point(root)))),
        ];
        expect(thirds.sort()).toEqual(['32/25', '5/4', '5/4']);
      }
    }
  });
});

/** Source: "Chord adjustments in just intonation", one-page handout: whole cents away from 12 equal, root at 0. */
const HANDOUT: readonly (readonly [name: string, keys: number[], exact: string[], printed: number[]])[] = [
  ['major', [4, 7], ['5/4', '3/2'], [-14, 2]],
  ['minor', [3, 7], ['6/5', '3/2'], [16, 2]],
  ['major 7th', [4, 7, 11], ['5/4', '3/2', '15/8'], [-14, 2, -12]],
  ['dominant 7th', [4, 7, 10], ['5/4', '3/2', '7/4'], [-14, 2, -31]],
  ['minor 7th', [3, 7, 10], ['6/5', '3/2', '9/5'], [16, 2, 18]],
  ['diminished triad', [3, 6], ['6/5', '7/5'], [16, -17]],
  ['half-diminished 7th', [3, 6, 10], ['6/5', '7/5', '9/5'], [16, -17, 18]],
  ['major 6th', [4, 7, 9], ['5/4', '3/2', '5/3'], [-14, 2, -16]],
];

test.each(HANDOUT)(
  'the handout on chord adjustments has in the 7-limit the ratios of %s',
  (_name, keys, exact, printed) => {
    const playing = new Playing({ limit: 7, strategy: 'free' }).strike([60, ...keys.map((key) => 60 + key)]);
    keys.forEach((key, i) => {
      const cents = playing.cents(60 + key) - playing.cents(60);
      expect(cents).toBeCloseTo(toCents(ratio(exact[i])), 6);
      // Half a cent, and as much as the last float of the sum.
      expect(Math.abs(cents - 100 * key - printed[i])).toBeLessThanOrEqual(0.5 + 1e-9);
    });
  },
);

describe('higher and lower limits', () => {
  test.each([
    [11, [48, 52, 55, 58, 62, 66], '4:5:6:7:9:11'],
    [13, [48, 52, 55, 58, 62, 66], '4:5:6:7:9:11'],
    [13, [48, 52, 55, 58, 62, 66, 68], '4:5:6:7:9:11:13'],
  ] as const)('in the %i-limit the full chord on %j is %s', (limit, keys, proportion) => {
    for (let root = 0; root < 12; root++) {
      const playing = new Playing({ limit, strategy: 'free' }).strike(
        keys.map((key) => key + root),
        APART_MS - 1,
      );
      expect(playing.proportion()).toBe(proportion);
    }
  });

  test.each(CHORDS)('in the 3-limit %s is in powers of 3', (_name, keys) => {
    for (let root = 48; root < 60; root++) {
      const playing = new Playing({ limit: 3, strategy: 'free' }).strike(keys.map((key) => root + key));
      for (const { point } of playing.tuner.notes) expect(point.slice(2)).toEqual([0, 0, 0, 0]);
    }
  });
});
