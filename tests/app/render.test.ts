import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { PEAK_DB } from '../../src/app/render.js';
import type { Timeline } from '../../src/core/score/index.js';
import { VOICE_NAMES } from '../../src/core/theory/index.js';
import { type BuiltNote, buildMidi } from '../support/build-midi.js';
import { musicalFile } from '../support/musical-files.js';
import { times } from '../support/properties.js';
import { renderBytes, samplesOf } from '../support/render-bytes.js';

describe('the loudness of a rendering', () => {
  test('is the intended one at its loudest moment, with nothing clipped, whatever is played', async () => {
    await fc.assert(
      fc.asyncProperty(musicalFile, fc.constantFrom(...VOICE_NAMES), async (file, voice) => {
        const { bytes, rendered } = await renderBytes(file, { format: 'float', voice, rate: 44_100 });
        const view = new DataView(bytes.buffer, bytes.byteOffset);
        const head = bytes.indexOf('data') + 8;
        let peak = 0;
        for (let at = head; at < bytes.length; at += 4)
          peak = Math.max(peak, Math.abs(view.getFloat32(at, true)));
        if (peak === 0) return;
        expect(20 * Math.log10(peak)).toBeCloseTo(PEAK_DB, 4);
        expect(rendered.peakDb).toBeCloseTo(PEAK_DB, 9);
      }),
      { numRuns: times(8) },
    );
  });

  test('with sixteen bits and dither never touches full scale', async () => {
    const loud = buildMidi(Array.from({ length: 24 }, (_, i) => [0, 2, 40 + 2 * i] as BuiltNote));
    const { bytes } = await renderBytes(loud, { format: '16' });
    const peak = samplesOf(bytes, 2 ** 15).reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    expect(peak).toBeLessThan(0.9);
    expect(peak).toBeGreaterThan(0.88);
  });

  test('stays different for two pieces with one gain; one that would clip is lowered and reported', async () => {
    const one = buildMidi([[0, 1, 60]]);
    const quiet = await renderBytes(one, { gainDb: 0 });
    expect(quiet.rendered).toMatchObject({ gainDb: 0, wasLowered: false });
    expect(quiet.rendered.peakDb).toBeLessThan(-20);
    const loud = await renderBytes(one, { gainDb: 60 });
    expect(loud.rendered.wasLowered).toBe(true);
    expect(loud.rendered.peakDb).toBeCloseTo(PEAK_DB, 9);
  });

  test('stays zero for silence', async () => {
    const { rendered, bytes } = await renderBytes(buildMidi([]));
    expect(rendered.peakDb).toBe(Number.NEGATIVE_INFINITY);
    expect(samplesOf(bytes, 1).every((sample) => sample === 0)).toBe(true);
  });
});

test('rendering gives the same bytes each time', async () => {
  const file = buildMidi([
    [0, 2, 60],
    [1, 3, 64],
  ]);
  const first = await renderBytes(file, { format: '16' });
  expect((await renderBytes(file, { format: '16' })).bytes.equals(first.bytes)).toBe(true);
});

test("a rendering's header counts what follows, and the sound lasts as long as the music and its last release", async () => {
  const { bytes, rendered } = await renderBytes(buildMidi([[0, 2, 60]]));
  expect(new DataView(bytes.buffer, bytes.byteOffset).getUint32(4, true)).toBe(bytes.length - 8);
  expect(rendered.seconds).toBeGreaterThan(1);
  expect(rendered.seconds).toBeLessThan(1.6);
});

test('the progress of a rendering goes from nothing to all, and never back', async () => {
  const { shares } = await renderBytes(buildMidi([[0, 40, 60]]));
  expect(shares.at(-1)).toBe(1);
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
});

test('rendering refuses a piece longer than a WAV file can hold before anything is played or written', async () => {
  const timeline: Timeline = {
    lengthMs: 7 * 3600 * 1000,
    receivers: 1,
    timesMs: new Float64Array(0),
    receiverOf: new Uint16Array(0),
    messages: new Uint8Array(0),
    system: new Map(),
    pieces: 1,
  };
  await expect(renderBytes(timeline, { format: '16' })).rejects.toMatchObject({
    code: 'SOUND_LONG',
    message: 'The piece lasts 420 minutes; a WAV file of this kind holds at most 4 GiB, 372 minutes.',
  });
});
