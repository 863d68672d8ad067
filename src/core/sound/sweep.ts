import { readCycle } from './wave.js';

/**
 * The values that change while a tone sounds, each by an equal step a frame. One array of numbers, since a changed
 * number in an object's field is allocated on the heap again.
 */
export type Motion = Float64Array;

/** Places in a {@link Motion}. */
export const MOTION = {
  /** Phase of the wave, 0 to just below 1. */
  phase: 0,
  /** Cycles a frame, and its change. */
  pace: 1,
  paceStep: 2,
  /** Level of the envelope; it becomes `swell · keep + swellStep`. */
  swell: 3,
  keep: 4,
  swellStep: 5,
  /** Factors of both sides, and their changes. */
  left: 6,
  leftStep: 7,
  right: 8,
  rightStep: 9,
  /** Share of the previous wave, and its decrease. */
  oldShare: 10,
  oldFall: 11,
} as const;

/** A motion without changes. */
export function createMotion(): Motion {
  return new Float64Array(12);
}

/** Adds a wave to both sides, from one frame to before another, and updates the motion. Hot path: allocates nothing. */
export function sweep(
  motion: Motion,
  points: Float32Array,
  left: Float64Array,
  right: Float64Array,
  from: number,
  to: number,
): void {
  let phase = motion[MOTION.phase];
  let pace = motion[MOTION.pace];
  const paceStep = motion[MOTION.paceStep];
  let swell = motion[MOTION.swell];
  const keep = motion[MOTION.keep];
  const swellStep = motion[MOTION.swellStep];
  let l = motion[MOTION.left];
  const leftStep = motion[MOTION.leftStep];
  let r = motion[MOTION.right];
  const rightStep = motion[MOTION.rightStep];
  for (let i = from; i < to; i++) {
    const value = readCycle(points, phase) * swell;
    left[i] += value * l;
    right[i] += value * r;
    pace += paceStep;
    phase += pace;
    if (phase >= 1) phase -= Math.floor(phase);
    swell = swell * keep + swellStep;
    l += leftStep;
    r += rightStep;
  }
  motion[MOTION.phase] = phase;
  motion[MOTION.pace] = pace;
  motion[MOTION.swell] = swell;
  motion[MOTION.left] = l;
  motion[MOTION.right] = r;
}

/** As {@link sweep}, while the previous wave fades out. */
export function sweepBoth(
  motion: Motion,
  points: Float32Array,
  oldPoints: Float32Array,
  left: Float64Array,
  right: Float64Array,
  from: number,
  to: number,
): void {
  const m = motion;
  for (let i = from; i < to; i++) {
    const fresh = readCycle(points, m[MOTION.phase]);
    const old = readCycle(oldPoints, m[MOTION.phase]);
    const value = (fresh + m[MOTION.oldShare] * (old - fresh)) * m[MOTION.swell];
    left[i] += value * m[MOTION.left];
    right[i] += value * m[MOTION.right];
    m[MOTION.pace] += m[MOTION.paceStep];
    m[MOTION.phase] += m[MOTION.pace];
    if (m[MOTION.phase] >= 1) m[MOTION.phase] -= Math.floor(m[MOTION.phase]);
    m[MOTION.swell] = m[MOTION.swell] * m[MOTION.keep] + m[MOTION.swellStep];
    m[MOTION.left] += m[MOTION.leftStep];
    m[MOTION.right] += m[MOTION.rightStep];
    m[MOTION.oldShare] = Math.max(0, m[MOTION.oldShare] - m[MOTION.oldFall]);
  }
}
