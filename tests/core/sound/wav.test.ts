import { describe, expect, test } from 'vitest';
import { WaveFile } from 'wavefile';
import {
  formatWavHeader,
  type SampleFormat,
  SampleWriter,
  toMostFrames,
  toSampleBytes,
} from '../../../src/core/sound/index.js';

/** The parts of a header that another reader finds. */
interface Found {
  fmt: { audioFormat: number; numChannels: number; sampleRate: number; byteRate: number; blockAlign: number };
  bitDepth: string;
  chunkSize: number;
  fact: { chunkId: string; dwSampleLength: number };
  getSamples: (interleaved: boolean) => Float64Array[];
}

const FORMATS: readonly [SampleFormat, number, string][] = [
  ['16', 1, '16'],
  ['24', 0xfffe, '24'],
  ['float', 3, '32f'],
];

describe.each(FORMATS)('%s', (format, tag, depth) => {
  test.each([44_100, 48_000])(
    'a WAV file at %i hertz is read by an independent reader as it was written',
    (rate) => {
      const left = Float64Array.from({ length: 300 }, (_, i) => Math.sin(i / 7) / 2);
      const right = left.map((sample) => -sample / 3);
      const body = new SampleWriter(format).format(left, right, 300);
      const bytes = Buffer.concat([formatWavHeader({ rate, format, frames: 300 }), body]);
      const found = new WaveFile(bytes) as unknown as Found;
      expect(found.bitDepth).toBe(depth);
      expect(found.chunkSize).toBe(bytes.length - 8);
      expect(found.fmt).toMatchObject({
        audioFormat: tag,
        numChannels: 2,
        sampleRate: rate,
        byteRate: rate * 2 * toSampleBytes(format),
        blockAlign: 2 * toSampleBytes(format),
      });
      if (format !== '16') expect(found.fact.dwSampleLength).toBe(300);
      const scale = format === 'float' ? 1 : 2 ** (Number(format) - 1);
      const [heardLeft, heardRight] = found.getSamples(false);
      expect([heardLeft.length, heardRight.length]).toEqual([300, 300]);
      heardLeft.forEach((sample, i) => {
        expect(Math.abs(sample / scale - left[i])).toBeLessThan(2 / 2 ** 15);
        expect(Math.abs(heardRight[i] / scale - right[i])).toBeLessThan(2 / 2 ** 15);
      });
    },
  );

  test('the header of a WAV file counts the longest allowed sound', () => {
    const frames = toMostFrames(48_000, format);
    const size = (count: number) =>
      formatWavHeader({ rate: 48_000, format, frames: count }).length + count * 2 * toSampleBytes(format) - 8;
    expect(size(frames)).toBeLessThan(2 ** 32);
    expect(size(frames + 1)).toBeGreaterThanOrEqual(2 ** 32);
    const view = new DataView(formatWavHeader({ rate: 48_000, format, frames }).buffer);
    expect(view.getUint32(4, true)).toBe(size(frames));
  });
});

test('a WAV file of 16 bits is byte for byte as in the standard', () => {
  const header = Buffer.from(formatWavHeader({ rate: 44_100, format: '16', frames: 2 })).toString('hex');
  expect(header).toBe(
    '524946462c00000057415645666d7420100000000100020044ac000010b102000400100064617461' + '08000000',
  );
});
