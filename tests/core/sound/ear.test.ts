import { expect, test } from 'vitest';
import { hearBetween, hearPartial, toCents } from '../../support/ear.js';

const RATE = 48_000;
const tone = (...hertz: number[]) =>
  Float64Array.from({ length: 3 * RATE }, (_, i) =>
    hertz.reduce((sum, one) => sum + Math.sin((2 * Math.PI * one * i) / RATE), 0),
  );

test.each([0, 0.05, -3.7, 11.9, 0.001])(
  'the measuring ear finds a made-up tone to be %f cents off',
  (cents) => {
    const hertz = 330 * 2 ** (cents / 1200);
    const heard = hearPartial(tone(hertz, 261, 401), RATE, 330, 0.1);
    expect(toCents(heard, hertz)).toBeCloseTo(0, 3);
  },
);

test('the measuring ear finds a partial 80 decibels down, and nothing in silence', () => {
  const samples = tone(1000).map((sample, i) => sample + 1e-4 * Math.sin((2 * Math.PI * 15_000 * i) / RATE));
  expect(hearBetween(samples, RATE, 14_000, 16_000)).toBeCloseTo(-80, 0);
  expect(hearBetween(samples, RATE, 17_000, 20_000)).toBeLessThan(-130);
});
