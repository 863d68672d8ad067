import { expect, test } from 'vitest';
import { formatRatio, toDeviationCents } from '../../../src/core/theory/index.js';
import { toDriftCents, toDriftLeft } from '../../../src/core/tuner/index.js';
import { keysOf, Playing } from '../../support/play.js';

/** C, A, D, G with the common tones tied: falls one syntonic comma a pass. */
const PUMP = ['C3 G4 C5 E5', 'A3 A4 C5 E5', 'D3 A4 D5 F5', 'G3 G4 D5 B4'].map(keysOf);

function pumped(strategy: 'free' | 'anchored'): Playing {
  const music = new Playing({ strategy });
  for (const keys of [...PUMP, PUMP[0]]) music.chord(keys, keys, 2000);
  return music;
}

/** The comma, and where the pitch is left, in cents. */
function leftOf(music: Playing, keys: readonly number[]): [string, number] {
  const { drift, backCents } = toDriftLeft(music.tuner, keys);
  return [formatRatio(drift), toDeviationCents(drift) + backCents];
}

test('the drift left of a pumped chord is a comma under free', () => {
  const [ratio, cents] = leftOf(pumped('free'), PUMP[0]);
  expect([ratio, cents]).toEqual(['80/81', expect.closeTo(-21.506, 3)]);
});

test('under anchored the same comma is nearly all given back, in silence too', () => {
  const music = pumped('anchored');
  const [ratio, cents] = leftOf(music, PUMP[0]);
  expect(ratio).toBe('80/81');
  expect(Math.abs(cents)).toBeLessThan(8.01);
  expect(Math.abs(toDriftCents(music.tuner))).toBeLessThan(8.01);
  music.lift(PUMP[0]).wait(500);
  expect(leftOf(music, PUMP[0])).toEqual([ratio, expect.closeTo(cents, 6)]);
});

test('going home leaves no drift', () => {
  const music = pumped('free').tell({ kind: 'home', when: 'now' }).wait(200);
  expect(Math.abs(leftOf(music, PUMP[0])[1])).toBeLessThan(8);
});

test('there is no drift before anything sounds, and none of no keys', () => {
  expect(leftOf(new Playing(), [60])).toEqual(['1/1', 0]);
  expect(leftOf(pumped('free'), [])).toEqual(['1/1', 0]);
});
