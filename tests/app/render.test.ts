import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { WaveFile } from 'wavefile';
import type { OutletChoice } from '../../src/app/outlet-choice.js';
import { PEAK_DB, type RenderOptions, render } from '../../src/app/render.js';
import { retune } from '../../src/app/retune.js';
import type { MidiFile } from '../../src/core/midi/index.js';
import { type Timeline, toTimeline } from '../../src/core/score/index.js';
import { Ensemble } from '../../src/core/sound/index.js';
import { toVoice, VOICE_NAMES, type VoiceName } from '../../src/core/theory/index.js';
import { toSettings } from '../../src/core/tuner/index.js';
import { type BuiltNote, buildMidi } from '../support/build-midi.js';
import { hearPartial, toCents } from '../support/ear.js';
import { musicalFile } from '../support/musical-files.js';
import { times } from '../support/properties.js';

/** The bytes a piece is written as. */
async function renderBytes(
  file: MidiFile | Timeline,
  options: Partial<RenderOptions> & { voice?: VoiceName } = {},
) {
  const { voice = 'reed', ...rest } = options;
  const rate = rest.rate ?? 48_000;
  const pieces: Uint8Array[] = [];
  const shares: number[] = [];
  const rendered = await render(
    'timesMs' in file ? file : toTimeline(file),
    {
      rate,
      format: '24',
      gainDb: undefined,
      createPlayers: ({ receivers }) =>
        Array.from({ length: receivers }, () => new Ensemble(toVoice(voice), rate)),
      ...rest,
    },
    {
      write: async (bytes) => void pieces.push(bytes),
      progress: (share) => void shares.push(share),
    },
  );
  return { bytes: Buffer.concat(pieces), rendered, shares };
}

/** The left side as another reader finds it, full scale being 1. */
function samplesOf(bytes: Uint8Array, scale: number): Float64Array {
  const [left] = new WaveFile(bytes).getSamples(false) as unknown as Float64Array[];
  return left.map((sample) => sample / scale);
}

const C4_HERTZ = 440 * 2 ** (-9 / 12);

describe('an independent ear', () => {
  // What a step of the outlet's pitch is worth: a zone's range is 48 semitones unless it is told otherwise.
  const outlets: [OutletChoice['kind'], number | undefined][] = [
    ['multichannel', undefined],
    ['mts', undefined],
    ['mpe', 2],
  ];
  const chords: [string, BuiltNote[], [number, number, number][]][] = [
    [
      'a just triad',
      [
        [0, 8, 60],
        [0, 8, 64],
        [0, 8, 67],
      ],
      [
        [60, 1, 1],
        [64, 5, 4],
        [67, 3, 2],
      ],
    ],
    [
      'a minor seventh',
      [
        [0, 8, 57],
        [0, 8, 60],
        [0, 8, 64],
        [0, 8, 67],
      ],
      [
        [57, 5, 6],
        [60, 1, 1],
        [64, 5, 4],
        [67, 3, 2],
      ],
    ],
  ];
  describe.each(outlets)('through %s, range %s', (kind, bendRange) => {
    test.each(chords)(
      '%s: each note within 0.05 cents of its ratio, harmonics too',
      async (_, notes, wanted) => {
        const settings = toSettings({ strategy: 'free' });
        const { file } = retune(buildMidi(notes), { settings, outlet: { kind, bendRange }, plan: 'live' });
        for (const voice of VOICE_NAMES) {
          const { bytes } = await renderBytes(file, { voice });
          const samples = samplesOf(bytes, 2 ** 23);
          // Whatever the tuner chose for the body as a whole, the ratios between its notes are what counts.
          const ground = hearPartial(samples, 48_000, C4_HERTZ, 0.4);
          for (const [key, numerator, denominator] of wanted) {
            const hertz = (ground * numerator) / denominator;
            for (const harmonic of [1, 2, 3]) {
              const heard = hearPartial(samples, 48_000, harmonic * hertz, 0.4);
              expect(Math.abs(toCents(heard, harmonic * hertz)), `key ${key}`).toBeLessThan(0.05);
            }
          }
        }
      },
    );
  });

  test('the same chord as it was played is far from it: the check can tell', async () => {
    const { bytes } = await renderBytes(buildMidi(chords[0][1]));
    const samples = samplesOf(bytes, 2 ** 23);
    const third = hearPartial(samples, 48_000, (C4_HERTZ * 5) / 4, 0.4);
    expect(toCents(third, (C4_HERTZ * 5) / 4)).toBeCloseTo(13.686, 2);
    expect(toCents(hearPartial(samples, 48_000, C4_HERTZ, 0.4), C4_HERTZ)).toBeCloseTo(0, 2);
  });
});

describe('loudness', () => {
  test('whatever is played, nothing is clipped, and the loudest moment stands where it should', async () => {
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

  test('sixteen bits with dither never touch full scale', async () => {
    const loud = buildMidi(Array.from({ length: 24 }, (_, i) => [0, 2, 40 + 2 * i] as BuiltNote));
    const { bytes } = await renderBytes(loud, { format: '16' });
    const peak = samplesOf(bytes, 2 ** 15).reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    expect(peak).toBeLessThan(0.9);
    expect(peak).toBeGreaterThan(0.88);
  });

  test('a gain keeps two pieces at their own loudness; one that would clip is lowered, and it is said', async () => {
    const one = buildMidi([[0, 1, 60]]);
    const quiet = await renderBytes(one, { gainDb: 0 });
    expect(quiet.rendered).toMatchObject({ gainDb: 0, wasLowered: false });
    expect(quiet.rendered.peakDb).toBeLessThan(-20);
    const loud = await renderBytes(one, { gainDb: 60 });
    expect(loud.rendered.wasLowered).toBe(true);
    expect(loud.rendered.peakDb).toBeCloseTo(PEAK_DB, 9);
  });

  test('silence stays silence', async () => {
    const { rendered, bytes } = await renderBytes(buildMidi([]));
    expect(rendered.peakDb).toBe(Number.NEGATIVE_INFINITY);
    expect(samplesOf(bytes, 1).every((sample) => sample === 0)).toBe(true);
  });
});

test('the same bytes each time', async () => {
  const file = buildMidi([
    [0, 2, 60],
    [1, 3, 64],
  ]);
  const first = await renderBytes(file, { format: '16' });
  expect((await renderBytes(file, { format: '16' })).bytes.equals(first.bytes)).toBe(true);
});

test('the header counts just what follows, and the sound lasts as long as the music and its last release', async () => {
  const { bytes, rendered } = await renderBytes(buildMidi([[0, 2, 60]]));
  expect(new DataView(bytes.buffer, bytes.byteOffset).getUint32(4, true)).toBe(bytes.length - 8);
  expect(rendered.seconds).toBeGreaterThan(1);
  expect(rendered.seconds).toBeLessThan(1.6);
});

test('progress goes from nothing to all, and never back', async () => {
  const { shares } = await renderBytes(buildMidi([[0, 40, 60]]));
  expect(shares.at(-1)).toBe(1);
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
});

test('a piece longer than a WAV file can hold is refused before anything is played or written', async () => {
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
