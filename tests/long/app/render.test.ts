import { describe, expect, test } from 'vitest';
import type { OutletChoice } from '../../../src/app/outlet-choice.js';
import { retune } from '../../../src/app/retune.js';
import { VOICE_NAMES } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { type BuiltNote, buildMidi } from '../../support/build-midi.js';
import { hearPartial, toCents } from '../../support/ear.js';
import { numbers } from '../../support/numbers.js';
import { renderBytes, samplesOf } from '../../support/render-bytes.js';

const C4_HERTZ = 440 * 2 ** (-9 / 12);

describe('an independent ear', () => {
  // What a step of the outlet's pitch is worth: a zone's range is 48 semitones unless it is told otherwise.
  const outlets: [OutletChoice['kind'], number | undefined][] = [
    ['multichannel', undefined],
    ['mts', undefined],
    ['mpe', 2],
  ];
  const held = (...keys: number[]): BuiltNote[] => keys.map((key) => [0, 8, key]);
  const chords: [string, BuiltNote[], number[][]][] = [
    ['a just triad', held(60, 64, 67), numbers('60 1 1, 64 5 4, 67 3 2')],
    ['a minor seventh', held(57, 60, 64, 67), numbers('57 5 6, 60 1 1, 64 5 4, 67 3 2')],
  ];
  describe.each(outlets)('finds the ratios through %s with the range %s', (kind, bendRange) => {
    test.each(chords)(
      'finds each note of %s within 0.05 cents of its ratio, harmonics too',
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

  test('the check finds the unretuned chord far from its ratios', async () => {
    const { bytes } = await renderBytes(buildMidi(chords[0][1]));
    const samples = samplesOf(bytes, 2 ** 23);
    const third = hearPartial(samples, 48_000, (C4_HERTZ * 5) / 4, 0.4);
    expect(toCents(third, (C4_HERTZ * 5) / 4)).toBeCloseTo(13.686, 2);
    expect(toCents(hearPartial(samples, 48_000, C4_HERTZ, 0.4), C4_HERTZ)).toBeCloseTo(0, 2);
  });
});
