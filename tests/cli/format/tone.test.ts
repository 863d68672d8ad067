import { describe, expect, test } from 'vitest';
import { DEFAULT_OUTLET } from '../../../src/app/live/live-settings.js';
import { TONES } from '../../../src/app/live/tones.js';
import { formatTone, formatToneGreeting } from '../../../src/cli/format/tone.js';

const join = (lines: readonly string[]) => lines.join(' ').replaceAll(/\s+/g, ' ');

test("the tone command first warns to mind one's ears", () => {
  const lines = formatToneGreeting({ ...DEFAULT_OUTLET, port: 'Synth', virtual: false });
  expect(lines[0]).toMatch(/^Mind your ears: turn the volume down/);
  expect(join(lines)).not.toContain('Connect');
  expect(join(formatToneGreeting(DEFAULT_OUTLET))).toContain('Connect "Leeway" to the synth now');
});

describe('the words before each tone say what should sound and what to do otherwise', () => {
  const say = (outlet: Partial<typeof DEFAULT_OUTLET>) =>
    TONES.map((tone) => join(formatTone(tone, { ...DEFAULT_OUTLET, ...outlet })));

  test('they do over MPE', () => {
    const [note, third, fifth, unison] = say({ zone: 'upper' });
    expect(note).toContain('as an MPE instrument, upper zone');
    for (const text of [third, fifth, unison])
      expect(text).toContain('set it to 48 semitones on the synth, for the notes of the MPE zone');
  });

  test('they do over plain channels', () => {
    const [note, ...others] = say({ kind: 'multichannel', bendRange: 1 });
    expect(note).toContain('on all channels');
    for (const text of others) expect(text).toContain('to 1 semitone on the synth, on every channel');
  });

  test('they do over tuning messages, which have no bend range', () => {
    const [note, ...others] = say({ kind: 'mts' });
    expect(note).toContain('on channel 1');
    for (const text of others) {
      expect(text).toContain("doesn't follow tuning messages");
      expect(text).not.toContain('bend range');
    }
  });
});
