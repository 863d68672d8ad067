import { expect, it } from 'vitest';
import { BEATING, toBeats, widen } from '../../../../src/core/score/figures/beats.js';

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

it.each(PRINTED)('%s beats as printed', (_, low, high, upper, lower, beats) => {
  expect(Math.abs(toBeats(100 * low, 100 * high, upper, lower) - beats)).toBeLessThanOrEqual(0.05);
});

it.each([
  ['major tenth', BEATING[1], 1, 5, 2],
  ['major seventeenth', BEATING[1], 2, 5, 1],
  ['minor tenth', BEATING[0], 1, 12, 5],
  ['twelfth', BEATING[2], 1, 3, 1],
] as const)('a %s is the third or fifth made wider by octaves', (_, interval, octaves, upper, lower) => {
  expect(widen(interval, octaves)).toEqual({ upper, lower });
});

it('a pure interval stands still', () => {
  for (const { keys, upper, lower } of BEATING) {
    const high = 6000 + 1200 * Math.log2(upper / lower);
    expect(Math.round((high - 6000) / 100)).toBe(keys);
    expect(toBeats(6000, high, upper, lower)).toBeLessThan(1e-9);
  }
});
