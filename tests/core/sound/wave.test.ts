import { describe, expect, test } from 'vitest';
import { countHarmonics, readCycle, WaveShelf } from '../../../src/core/sound/wave.js';
import { toHertz, toVoice, VOICES } from '../../../src/core/theory/index.js';

describe.each(VOICES)('the wave of $words', (voice) => {
  test('gives between its points the sum of the harmonics, to 100 dB', () => {
    const shelf = new WaveShelf(voice);
    const region = shelf.toRegion(220);
    const strengths = voice.harmonics(440 * 2 ** (region / 4));
    const { points } = shelf.toWave(region, 64);
    // The scale is one number: how loud the loudest point is.
    const sum = (phase: number) =>
      strengths.reduce((total, strength, i) => total + strength * Math.sin(2 * Math.PI * (i + 1) * phase), 0);
    const scale = sum(0.1234) / readCycle(points, 0.1234);
    for (let i = 0; i < 5000; i++) {
      const phase = (i * 0.618034) % 1;
      expect(Math.abs(readCycle(points, phase) - sum(phase) / scale)).toBeLessThan(1e-5);
    }
  });
});

test('a wave has a closed cycle that begins at zero', () => {
  const { points } = new WaveShelf(toVoice('reed')).toWave(0, 64);
  expect(readCycle(points, 0)).toBeCloseTo(0, 12);
  expect(readCycle(points, 1 - 1e-9)).toBeCloseTo(0, 6);
});

test('a wave has 1 as its loudest point, and fewer harmonics have the same strength', () => {
  const shelf = new WaveShelf(toVoice('bowed'));
  const whole = shelf.toWave(0, 64);
  expect(Math.max(...whole.points.map(Math.abs))).toBeCloseTo(1, 6);
  const one = shelf.toWave(0, 1);
  expect(one.harmonics).toBe(1);
  // The first harmonic as it is in the whole wave.
  const first = (points: Float32Array) => {
    let sum = 0;
    for (let i = 0; i < 2048; i++) sum += (points[i + 1] * Math.sin((2 * Math.PI * i) / 2048)) / 1024;
    return sum;
  };
  expect(first(one.points)).toBeCloseTo(first(whole.points), 7);
});

test('a wave has no harmonic that a bend of a semitone could take beyond half the sampling rate', () => {
  for (const rate of [44_100, 48_000])
    for (let cents = 0; cents <= 16_000; cents += 37) {
      const highest = countHarmonics(toHertz(cents), rate) * toHertz(cents + 100);
      expect(highest).toBeLessThan(rate / 2);
    }
});

test('a wave is made only once', () => {
  const shelf = new WaveShelf(toVoice('sung'));
  expect(shelf.toWave(1, 20)).toBe(shelf.toWave(1, 20));
  expect(shelf.toWave(1, 32)).toBe(shelf.toWave(1, 500));
  expect(shelf.toWave(1, 0).points.every((point) => point === 0)).toBe(true);
});
