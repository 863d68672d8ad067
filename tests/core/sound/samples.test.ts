import { describe, expect, test } from 'vitest';
import { SampleWriter, toSampleBytes } from '../../../src/core/sound/index.js';

const SAMPLES = 200_000;
const STEP = 1 / 32_768;

/** What sixteen bits make of one value, over and over: the errors, in steps. */
function errorsOf(value: number): number[] {
  const same = new Float64Array(SAMPLES / 2).fill(value);
  const bytes = new SampleWriter('16').format(same, same, SAMPLES / 2);
  const view = new DataView(bytes.buffer);
  return Array.from({ length: SAMPLES }, (_, i) => view.getInt16(2 * i, true) - value / STEP);
}

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

describe('dither at 16 bits', () => {
  test.each([0, 0.25, 0.5, 0.75, -1000.4, 12_345.5])(
    'makes a value of %f steps right on average, with a noise of a quarter of a step squared',
    (steps) => {
      const errors = errorsOf(steps * STEP);
      // Both to four times their standard error.
      expect(Math.abs(mean(errors))).toBeLessThan((4 * 0.5) / Math.sqrt(SAMPLES));
      expect(Math.abs(mean(errors.map((error) => error ** 2)) - 0.25)).toBeLessThan(0.005);
      expect(Math.max(...errors.slice(0, 100_000).map(Math.abs))).toBeLessThanOrEqual(1.5);
    },
  );

  test('is independent from sample to sample and from side to side', () => {
    const errors = errorsOf(0.3 * STEP);
    for (const apart of [1, 2, 3, 64])
      expect(Math.abs(mean(errors.slice(apart).map((error, i) => error * errors[i]))) / 0.25).toBeLessThan(
        0.012,
      );
  });

  test('preserves a tone softer than one step, where plain rounding would lose it', () => {
    const soft = Float64Array.from(
      { length: SAMPLES },
      (_, i) => 0.4 * STEP * Math.sin((2 * Math.PI * i) / 100),
    );
    const view = new DataView(new SampleWriter('16').format(soft, soft, SAMPLES).buffer);
    const heard = soft.map((_, i) => view.getInt16(4 * i, true) * Math.sin((2 * Math.PI * i) / 100));
    expect((2 * mean([...heard])) / 0.4).toBeCloseTo(1, 1);
  });

  test('is the same each time, and differs with another seed', () => {
    const quiet = new Float64Array(1000);
    const bytes = () => new SampleWriter('16').format(quiet, quiet, 1000);
    expect(bytes()).toEqual(bytes());
    expect(new SampleWriter('16', 2).format(quiet, quiet, 1000)).not.toEqual(bytes());
  });

  test('goes on from block to block', () => {
    const quiet = new Float64Array(1000);
    const whole = new SampleWriter('16').format(quiet, quiet, 1000);
    const writer = new SampleWriter('16');
    const parts = [writer.format(quiet, quiet, 300), writer.format(quiet, quiet, 700)];
    expect(Buffer.concat(parts)).toEqual(Buffer.from(whole));
  });
});

test('samples of 24 bits are rounded, both sides in turn, little end first', () => {
  const bytes = new SampleWriter('24').format(Float64Array.of(0.5), Float64Array.of(-2.4 / 2 ** 23), 1);
  expect([...bytes]).toEqual([0x00, 0x00, 0x40, 0xfe, 0xff, 0xff]);
});

test('floating-point samples are not changed', () => {
  const bytes = new SampleWriter('float').format(Float64Array.of(0.1), Float64Array.of(-1), 1, 0.5);
  const view = new DataView(bytes.buffer);
  expect([view.getFloat32(0, true), view.getFloat32(4, true)]).toEqual([Math.fround(0.05), -0.5]);
});

test.each(['16', '24', 'float'] as const)('samples beyond full scale are counted in %s', (format) => {
  const writer = new SampleWriter(format);
  const bytes = writer.format(Float64Array.of(1.5, 0.2), Float64Array.of(-1.5, 0), 2);
  expect(writer.clipped).toBe(2);
  expect(bytes.length).toBe(4 * toSampleBytes(format));
});

test.each([
  ['16', [0xff, 0x7f, 0x00, 0x80]],
  ['24', [0xff, 0xff, 0x7f, 0x00, 0x00, 0x80]],
] as const)('samples are limited to full scale in %s, and never wrapped', (format, expected) => {
  expect([...new SampleWriter(format).format(Float64Array.of(3), Float64Array.of(-3), 1)]).toEqual(expected);
});
