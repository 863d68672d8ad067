import { describe, expect, test } from 'vitest';
import {
  BEATING,
  type Partial,
  toBeats,
  toPairRoughness,
  toPartials,
  toRoughness,
  widen,
} from '../../../../src/core/score/figures/beats.js';
import { numbers } from '../../../support/numbers.js';

/** Beat rates of 12 equal at A = 440 between F3 and C5: J. Neurosci. 32(35), 12251, 2012, Table 1, after Capleton 2007. */
const PRINTED: readonly [
  interval: string,
  low: number,
  high: number,
  upper: number,
  lower: number,
  beats: number,
][] = [
  ['F–A', 53, 57, 5, 4, 6.9],
  ['G–B', 55, 59, 5, 4, 7.8],
  ['A–C♯', 57, 61, 5, 4, 8.7],
  ['C–E', 60, 64, 5, 4, 10.4],
  ['F–B♭', 53, 58, 4, 3, 0.8],
  ['C–F', 60, 65, 4, 3, 1.2],
  ['F–C', 53, 60, 3, 2, 0.6],
  ['C–G', 60, 67, 3, 2, 0.9],
  ['F–D', 53, 62, 5, 3, 7.9],
  ['A–F♯', 57, 66, 5, 3, 10.0],
  ['F–A♭', 53, 56, 6, 5, 9.4],
  ['A–C', 57, 60, 6, 5, 11.9],
  ['C–E♭', 60, 63, 6, 5, 14.1],
  ['F–D♭', 53, 61, 8, 5, 11.0],
  ['A–F', 57, 65, 8, 5, 13.9],
];

test.each(PRINTED)('the interval %s beats as printed', (_, low, high, upper, lower, beats) => {
  expect(Math.abs(toBeats(100 * low, 100 * high, upper, lower) - beats)).toBeLessThanOrEqual(0.05);
});

test.each([
  ['major tenth', BEATING[1], 1, 5, 2],
  ['major seventeenth', BEATING[1], 2, 5, 1],
  ['minor tenth', BEATING[0], 1, 12, 5],
  ['twelfth', BEATING[2], 1, 3, 1],
] as const)('a %s is the third or fifth made wider by octaves', (_, interval, octaves, upper, lower) => {
  expect(widen(interval, octaves)).toEqual({ upper, lower });
});

test('a pure interval does not beat', () => {
  for (const { keys, upper, lower } of BEATING) {
    const high = 6000 + 1200 * Math.log2(upper / lower);
    expect(Math.round((high - 6000) / 100)).toBe(keys);
    expect(toBeats(6000, high, upper, lower)).toBeLessThan(1e-9);
  }
});

/** n equal partials, or 1/n ones, on a tone and another `cents` above it. */
function dyad(hz: number, cents: number, partials: number, amplitude: (n: number) => number): Partial[] {
  return [hz, hz * 2 ** (cents / 1200)].flatMap((base) =>
    Array.from({ length: partials }, (_, i) => ({ hz: (i + 1) * base, amplitude: amplitude(i + 1) })),
  );
}

// Worked out from the published formula, W. A. Sethares, JASA 94(3), 1993, in its later form.
describe('the published curve of roughness', () => {
  test.each(numbers('125 19.783, 220 21.589, 261.626 22.38, 440 25.77, 500 26.91, 1000 36.413, 2000 55.418'))(
    'is highest at %d Hz for two tones %d Hz apart, at 0.8988',
    (hz, apart) => {
      const at = (more: number) => toPairRoughness({ hz, amplitude: 1 }, { hz: hz + more, amplitude: 1 });
      expect(at(apart)).toBeCloseTo(0.898782, 5);
      expect(at(apart)).toBeGreaterThan(at(0.97 * apart));
      expect(at(apart)).toBeGreaterThan(at(1.03 * apart));
    },
  );

  test.each(
    numbers(`0 0.1808, 267 2.2394, 315.5 2.4096, 386.5 2.1249, 498 1.7698, 582.5 2.0121, 702 0.8305,
    884.5 1.2642, 969 1.2757, 1200 0.1579`),
  )('gives for seven equal partials on 500 Hz, %d cents apart: %d', (cents, expected) => {
    expect(toRoughness(dyad(500, cents, 7, () => 1))).toBeCloseTo(expected, 3);
  });

  test.each(
    numbers('0 0.0582, 315.5 1.0611, 386.5 0.8866, 498 0.6093, 702 0.2569, 884.5 0.4058, 1200 0.0348'),
  )('gives for six partials of 1/n on middle C, %d cents apart: %d', (cents, expected) => {
    expect(toRoughness(toPartials([6000, 6000 + cents]))).toBeCloseTo(expected, 3);
    expect(toRoughness(dyad(261.6256, cents, 6, (n) => 1 / n))).toBeCloseTo(expected, 3);
  });
});

test('roughness is least where a third is pure, and falls from 12 equal to it', () => {
  const at = (cents: number) => toRoughness(toPartials([6000, 6000 + cents]));
  expect(at(399)).toBeLessThan(at(400));
  expect(at(386.314)).toBeLessThan(at(400));
  expect(at(386.314)).toBeLessThan(at(372));
});
