import { expect, test } from 'vitest';
import { createMotion, MOTION, sweep, sweepBoth } from '../../../src/core/sound/sweep.js';
import { WaveShelf } from '../../../src/core/sound/wave.js';
import { toVoice } from '../../../src/core/theory/index.js';

const shelf = new WaveShelf(toVoice('reed'));
const FRAMES = 500;

function moving(changes: Partial<Record<keyof typeof MOTION, number>> = {}) {
  const motion = createMotion();
  const defaults = {
    pace: 0.01,
    paceStep: 1e-6,
    swell: 0.2,
    keep: 0.999,
    swellStep: 0.0005,
    left: 1,
    right: 0.5,
  };
  for (const [name, value] of Object.entries({ ...defaults, rightStep: 1e-4, ...changes }))
    motion[MOTION[name as keyof typeof MOTION]] = value;
  return motion;
}

const sides = () => [new Float64Array(FRAMES), new Float64Array(FRAMES)] as const;

test('a sweep that fades a wave into itself is the wave', () => {
  const { points } = shelf.toWave(0, 20);
  const [left, right] = sides();
  const [left2, right2] = sides();
  const [one, two] = [moving(), moving({ oldShare: 1, oldFall: 1 / 300 })];
  sweep(one, points, left, right, 0, FRAMES);
  sweepBoth(two, points, points, left2, right2, 0, FRAMES);
  left.forEach((sample, i) => {
    expect(left2[i]).toBeCloseTo(sample, 9);
    expect(right2[i]).toBeCloseTo(right[i], 9);
  });
  expect(two[MOTION.oldShare]).toBe(0);
  for (const place of [MOTION.phase, MOTION.pace, MOTION.swell, MOTION.left, MOTION.right])
    expect(two[place]).toBeCloseTo(one[place], 9);
});

test('a half-faded sweep is half of each wave', () => {
  const [old, fresh] = [shelf.toWave(0, 1).points, shelf.toWave(0, 20).points];
  const sound = (motion: Float64Array, points: Float32Array) => {
    const [left, right] = sides();
    sweepBoth(motion, points, old, left, right, 0, 1);
    return left[0];
  };
  const at = (oldShare: number, points = fresh) => sound(moving({ phase: 0.3, oldShare }), points);
  expect(at(0.5)).toBeCloseTo((at(0) + at(1)) / 2, 9);
  expect(at(1)).toBeCloseTo(at(0, old), 9);
});

test('a sweep adds to its buffer within bounds only, at a pace of many cycles a frame too', () => {
  const [left, right] = sides();
  left.fill(1);
  sweep(moving({ pace: 7.3, phase: 0.1 }), shelf.toWave(0, 20).points, left, right, 10, 20);
  expect(left.slice(0, 10).every((sample) => sample === 1)).toBe(true);
  expect(left.slice(20).every((sample) => sample === 1)).toBe(true);
  expect(left.slice(10, 20).every((sample) => sample !== 1 && Number.isFinite(sample))).toBe(true);
});
