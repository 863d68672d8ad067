import { expect, test } from 'vitest';
import { TuningGlide } from '../../../src/core/line/tuning-glide.js';

test('a glide fades each note’s distance evenly, and is over after its time', () => {
  const glide = new TuningGlide();
  expect(glide.behindCents(0, 7, 60)).toBe(0);
  glide.begin(1000, new Map([[7, -12]]));
  expect([1000, 1015, 1045, 1060, 1200].map((atMs) => glide.behindCents(atMs, 7, 60) + 0)).toEqual([
    -12, -9, -3, 0, 0,
  ]);
  glide.time(1059, 60);
  expect(glide.isRunning).toBe(true);
  glide.time(1060, 60);
  expect(glide.isRunning).toBe(false);
});

test('a note that starts during a glide is where it belongs, but glides along where all belong lower', () => {
  const glide = new TuningGlide();
  glide.begin(0, new Map([[7, 20]]));
  expect(glide.behindCents(30, 8, 60)).toBe(0);
  glide.lower(30, [7, 8], 40, 60);
  expect([7, 8, 9, undefined].map((id) => glide.behindCents(30, id, 60))).toEqual([50, 40, 40, 40]);
  expect(glide.behindCents(60, 9, 60)).toBe(20);
});

test('where a glide takes no time nothing is behind', () => {
  const glide = new TuningGlide();
  glide.begin(0, new Map([[7, 20]]));
  expect(glide.behindCents(0, 7, 0)).toBe(0);
});
