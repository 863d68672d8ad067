import { describe, expect, test } from 'vitest';
import { toHertz, VOICE_NAMES } from '../../../src/core/theory/index.js';
import { hearBetween, hearPartial, toCents } from '../../support/ear.js';
import { numbers } from '../../support/numbers.js';
import { type EventLine, peakOf, soundOf } from '../../support/sounding.js';

const on = (key: number, velocity = 90): number[] => [0x90, key, velocity];
/** Bends by a number of steps from the middle; the range is 2 semitones, a step 200 ÷ 8192 cents. */
const bend = (steps: number): number[] => [0xe0, (8192 + steps) & 0x7f, (8192 + steps) >> 7];
const STEP_CENTS = 200 / 8192;

describe.each(VOICE_NAMES)('%s', (voice) => {
  test.each(numbers('36 -3117, 60 0, 69 1, 81 8191, 103 -8192'))(
    'a tone on key %i bent by %i steps has its pitch to a hundredth of a cent',
    (key, steps) => {
      const { left } = soundOf(
        [
          [0, ...bend(steps)],
          [0, ...on(key)],
        ],
        3,
        voice,
      );
      const hertz = toHertz(100 * key + steps * STEP_CENTS);
      expect(Math.abs(toCents(hearPartial(left, 48_000, hertz, 0.1), hertz))).toBeLessThan(0.01);
    },
  );

  test.each([96, 108, 120, 127])(
    'a tone on key %i has nothing but its harmonics, without aliasing',
    (key) => {
      const hertz = toHertz(100 * key + 30);
      const { left } = soundOf(
        [
          [0, ...bend(1229)],
          [0, ...on(key)],
        ],
        4,
        voice,
      );
      const isStray = (at: number) => Math.abs(at / hertz - Math.round(at / hertz)) * hertz > 8;
      // `struck` fades as one listens, which widens its partials.
      expect(hearBetween(left, 48_000, 0, 24_000, isStray, 1)).toBeLessThan(-85);
    },
  );
});

test('a glide of many steps is followed at every moment, and its end is exact', () => {
  // Down by a comma within a second and a half, a step every ten milliseconds.
  const steps = (i: number) => -Math.round((i / 150) * (21.506 / STEP_CENTS));
  const told: EventLine[] = [[0, ...on(60)]];
  for (let i = 1; i <= 150; i++) told.push([1 + i / 100, ...bend(steps(i))]);
  const { left } = soundOf(told, 6);
  const end = toHertz(6000 + steps(150) * STEP_CENTS);
  expect(Math.abs(toCents(hearPartial(left, 48_000, end, 2.9), end))).toBeLessThan(0.01);
  // Cycles between two crossings of the file's own staircase, summed in the plainest way, against those heard.
  const cycles = (from: number, to: number) => {
    let sum = 0;
    for (let frame = from; frame < to; frame++) {
      const i = Math.min(150, Math.max(0, Math.floor((frame / 48_000 - 1) * 100 + 1e-6)));
      sum += toHertz(6000 + steps(i) * STEP_CENTS) / 48_000;
    }
    return sum;
  };
  const pitchAround = (seconds: number) => {
    const [from, to] = [Math.round((seconds - 0.1) * 48_000), Math.round((seconds + 0.1) * 48_000)];
    return (cycles(from, to) / (to - from)) * 48_000;
  };
  for (const seconds of [1.3, 1.75, 2.2]) {
    const wanted = pitchAround(seconds);
    expect(Math.abs(toCents(countHertz(left, seconds, 0.2), wanted))).toBeLessThan(0.2);
  }
});

test('a sudden bend has no click', () => {
  const calm = soundOf([[0, ...on(45)]], 4).left;
  const bent = soundOf(
    [
      [0, ...on(45)],
      [1.5, ...bend(4000)],
    ],
    4,
  ).left;
  const steepest = (samples: Float64Array) => {
    let most = 0;
    for (let i = 72_000 - 480; i < 72_000 + 480; i++)
      most = Math.max(most, Math.abs(samples[i + 1] - samples[i]));
    return most;
  };
  expect(steepest(bent)).toBeLessThan(1.3 * steepest(calm));
});

test('a note bent up where its highest partials no longer fit loses them, and has them again when it comes back', () => {
  const high = 96;
  const sound = (second: number) =>
    soundOf(
      [
        [0, 0xb0, 101, 0],
        [0, 0xb0, 100, 0],
        [0, 0xb0, 6, 24],
        [0, ...on(high)],
        [1, ...bend(8191)],
        ...(second === 0 ? [] : ([[2, ...bend(0)]] as EventLine[])),
      ],
      6,
    ).left;
  const up = toHertz(100 * high + (2400 * 8191) / 8192);
  const stray = (at: number) => Math.abs(at / up - Math.round(at / up)) * up > 8;
  expect(hearBetween(sound(0), 48_000, 0, 24_000, stray, 2)).toBeLessThan(-85);
  const plain = toHertz(100 * high);
  const ninth = (samples: Float64Array) =>
    hearBetween(samples, 48_000, 9 * plain - 5, 9 * plain + 5, undefined, 3);
  expect(ninth(sound(2))).toBeCloseTo(ninth(soundOf([[0, ...on(high)]], 6).left), 3);
});

test.each([0.001, 0.02, 0.3])('a note released after %f s fades without a click and is over', (length) => {
  const { left } = soundOf(
    [
      [0, ...on(60)],
      [length, 0x80, 60, 64],
    ],
    1.5,
    'bowed',
  );
  expect(peakOf(left, 1.2, 1.5)).toBe(0);
  expect(left.some((sample) => sample !== 0)).toBe(true);
});

test('a released note has the same pitch when its channel is bent for another', () => {
  const plain = soundOf(
    [
      [0, ...on(60)],
      [1, 0x80, 60, 64],
    ],
    1.3,
  );
  const bent = soundOf(
    [
      [0, ...on(60)],
      [1, 0x80, 60, 64],
      [1, ...bend(8000)],
    ],
    1.3,
  );
  expect(bent.left).toEqual(plain.left);
});

/** Hertz by counting: from the first upward crossing of a stretch to the last, each found between its two samples. */
function countHertz(samples: Float64Array, at: number, seconds: number): number {
  const [from, to] = [Math.round((at - seconds / 2) * 48_000), Math.round((at + seconds / 2) * 48_000)];
  const crossings: number[] = [];
  // The tone's own cycle begins where all its harmonics rise together.
  for (let i = from; i < to; i++) {
    if (samples[i] <= 0 && samples[i + 1] > 0 && samples[i + 1] - samples[i] > 0.004)
      crossings.push(i - samples[i] / (samples[i + 1] - samples[i]));
  }
  return ((crossings.length - 1) / (crossings[crossings.length - 1] - crossings[0])) * 48_000;
}

test('a released note has the same pitch whatever its channel is bent to, and all sound off cuts its tail short', () => {
  const sound = (...after: EventLine[]) =>
    soundOf([[0, ...on(69)], [0.2, 0x80, 69, 64], ...after], 1, 'struck').left;
  const alone = sound();
  expect(sound([0.21, ...bend(8191)], [0.22, 0x80, 69, 1])).toEqual(alone);
  expect(peakOf(alone, 0.26, 0.3)).toBeGreaterThan(0.001);
  expect(peakOf(sound([0.21, 0xb0, 120, 0]), 0.26, 0.3)).toBeLessThan(peakOf(alone, 0.26, 0.3) / 1000);
  // Another channel's is not its business.
  expect(sound([0.21, 0xb1, 120, 0])).toEqual(alone);
});
