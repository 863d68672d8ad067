import { expect, test } from 'vitest';
import { formatOutlet, formatSettings } from '../../../src/cli/format/settings.js';
import { toTunerSettings } from '../../../src/cli/settings/index.js';

test.each([
  [{}, 'anchored within 8 c of home, held notes follow; limit 5; home 12 equal on C, A = 440 Hz'],
  [
    { recall: 12 },
    'anchored within 8 c of home, held notes follow; recall 12 c; limit 5; home 12 equal on C, A = 440 Hz',
  ],
  [
    { strategy: 'pull', rate: 5, held: 'stay', limit: 7 },
    'pulled at 5 c a second to within 2 c of home, held notes stay; limit 7; home 12 equal on C, A = 440 Hz',
  ],
  [
    {
      strategy: 'free',
      leeway: 3,
      home: { kind: 'meantone' },
      tonic: { keyClass: 10, fifths: -2 },
      a4: 415.3,
    },
    'free: the pitch may drift; limit 5; home quarter-comma meantone on B♭, A = 415.3 Hz',
  ],
] as const)('settings are written in words: %o', (choices, text) =>
  expect(formatSettings(toTunerSettings(choices), 'live')).toBe(text),
);

test.each([
  [
    {},
    { end: 'open', smoothSeconds: 1 },
    'planned; anchored within 8 c of home, held notes follow, smooth 1 second',
  ],
  [
    { strategy: 'pull' },
    { end: 'open', smoothSeconds: 200 },
    'planned; pulled at 3 c a second to within 2 c of home, held notes follow',
  ],
  [
    { strategy: 'free' },
    { end: 'home', smoothSeconds: 10 },
    'planned to end where it began; free: the pitch may drift',
  ],
] as const)('settings are written in words: %o, planned: %o', (choices, wish, text) => {
  const rest = '; limit 5; home 12 equal on C, A = 440 Hz';
  expect(formatSettings(toTunerSettings(choices), wish)).toBe(text + rest);
});

test.each([
  [
    { kind: 'mpe', bendRange: undefined },
    'each track over an MPE lower zone of its own, bend range 48 semitones',
  ],
  [
    { kind: 'multichannel', bendRange: 12 },
    'over plain channels of one port, never 10, bend range 12 semitones',
  ],
  [
    { kind: 'mpe', bendRange: 24, zone: 'upper', members: 1 },
    'each track over an MPE upper zone of its own, 1 member channel, bend range 24 semitones',
  ],
  [
    { kind: 'multichannel', bendRange: 1, channels: [0, 1, 2] },
    'over plain channels 1 to 3 of one port, bend range 1 semitone',
  ],
  [
    { kind: 'multichannel', bendRange: undefined, channels: [8, 9] },
    'over plain channels 9, 10 of one port (10 only where the piece has no percussion), bend range 2 semitones',
  ],
  [{ kind: 'mts', bendRange: undefined }, 'over tuning messages (MIDI Tuning Standard), no bends'],
] as const)('settings are written in words: %o', (choice, text) => expect(formatOutlet(choice)).toBe(text));
