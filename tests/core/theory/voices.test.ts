import { describe, expect, test } from 'vitest';
import { toVoice, VOICE_NAMES, VOICES } from '../../../src/core/theory/voices.js';

describe.each(VOICES)('the voice $words', (voice) => {
  test('has the harmonics that make beating audible, over the whole keyboard', () => {
    for (const hertz of [65, 130, 262, 523, 1047]) {
      const harmonics = voice.harmonics(hertz);
      const loudest = Math.max(...harmonics);
      // The second to the sixth: those that meet in octaves, fifths and thirds.
      for (const n of [1, 2, 3, 4, 5, 6]) expect(harmonics[n - 1] / loudest).toBeGreaterThan(0.02);
      for (const strength of harmonics) expect(strength).toBeGreaterThan(0);
    }
  });

  test('swells without a click and fades', () => {
    const { attack, release, sustain } = voice.envelope;
    expect(attack).toBeGreaterThan(0.001);
    expect(release).toBeGreaterThan(0.02);
    expect(sustain).toBeLessThanOrEqual(1);
  });
});

test('an unknown voice is the first voice', () => {
  expect(toVoice('kazoo')).toBe(VOICES[0]);
  expect(toVoice('sung').name).toBe('sung');
});

test('every name of a voice gives that voice', () =>
  expect(VOICES.map((voice) => voice.name)).toEqual([...VOICE_NAMES]));
