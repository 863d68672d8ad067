import { describe, expect, test } from 'vitest';
import {
  formatTracks,
  hasName,
  type TrackRole,
  toRoleOf,
  toRoleWarnings,
  toRulesOfPiece,
} from '../../src/app/track-roles.js';
import { type MidiFile, tracksOf } from '../../src/core/midi/index.js';
import { CHOIR, EQUAL, voice } from '../support/choir.js';

test.each([
  ['Organ', 'organ', true],
  ['  Organ ', 'ORGAN', true],
  ['Church Organ', 'organ', false],
  ['Church Organ', '*organ', true],
  ['Church Organ', 'church*', true],
  ['Church Organ', 'c*ch*an', true],
  ['Church Organ', 'c*ch*ch*n', false],
  ['ana', 'an*na', false],
  ['', '*', true],
  ['', 'x*', false],
  ['Flu\u0308te', 'Fl\u00fcte', true],
  ['a.c', 'abc', false],
])('a track called "%s" is meant by "%s": %s', (name, wanted, isMeant) => {
  expect(hasName(name, wanted)).toBe(isMeant);
});

test('a wildcard takes no longer for a name that almost fits', () => {
  expect(hasName('a'.repeat(50_000), `${'*a'.repeat(50)}*b`)).toBe(false);
});

describe('the role of a channel of a track', () => {
  const tracks = tracksOf(CHOIR);
  const roles = (rules: readonly TrackRole[], channel = 0) =>
    tracks.map((_, track) => toRoleOf(tracks, rules)(track, channel).role).join(' ');

  test.each<[string, TrackRole[], string]>([
    ['no rule', [], 'tuned tuned tuned'],
    ['by number', [{ number: 1, role: 'guide' }], 'tuned guide tuned'],
    ['by name', [{ name: 'BA*', role: 'guide' }], 'tuned tuned guide'],
    ['by number and name, which disagree', [{ number: 1, name: 'bass', role: 'guide' }], 'tuned tuned tuned'],
    ['by another channel', [{ channels: [5], role: 'guide' }], 'tuned tuned tuned'],
    ['the rest', [{ name: 'bass', role: 'guide' }, { role: 'untuned' }], 'untuned untuned guide'],
    [
      'the first that fits',
      [
        { name: '*e*', role: 'tuned' },
        { number: 0, role: 'guide' },
      ],
      'tuned tuned tuned',
    ],
  ])('is that of the first rule: %s', (_, rules, expected) => {
    expect(roles(rules)).toBe(expected);
  });

  test('stays untuned on channel 10 unless a rule names the channel', () => {
    expect(roles([{ role: 'guide' }], 9)).toBe('untuned untuned untuned');
    expect(roles([{ channels: [9], number: 2, role: 'tuned' }], 9)).toBe('untuned untuned tuned');
  });

  test('has the pitches of its own rule', () => {
    const fixed: TrackRole = { name: 'bass', role: 'fixed', fixedCents: EQUAL };
    expect(toRoleOf(tracks, [fixed])(2, 3).fixedCents).toBe(EQUAL);
  });
});

describe('a rule for no track of a file', () => {
  const warn = (rules: readonly TrackRole[], file: MidiFile = CHOIR) =>
    toRoleWarnings(file, rules).map(({ code, message }) => `${code}: ${message}`);

  test('is a warning that names it, the nearest name, and the tracks', () => {
    const tracks = 'The tracks: 1 "Upper", 2 "Middle", 3 "Bass".';
    expect(warn([{ name: 'Bsas', role: 'guide' }])).toEqual([
      `ROLE_NO_TRACK: the role guide is for "Bsas", which isn't there. Did you mean "Bass"? ${tracks}`,
    ]);
    expect(warn([{ name: 'idd', role: 'guide' }])[0]).toContain('Did you mean "Middle"?');
    expect(warn([{ name: 'Harpsichord*', role: 'guide' }])[0]).toContain("isn't there. The tracks");
    expect(warn([{ number: 7, role: 'tuned' }])[0]).toContain('is for track 8, which');
    expect(warn([{ name: 'Bass', channels: [5], role: 'tuned' }])[0]).toContain(
      'is for "Bass" on channel 6, which',
    );
  });

  test('is no warning where a track fits, whatever it plays, or for the rest', () => {
    const rules: TrackRole[] = [
      { name: 'bass', role: 'tuned' },
      { channels: [3], role: 'guide' },
      { role: 'untuned' },
    ];
    expect(warn(rules)).toEqual([]);
  });

  test('is a warning where its track has percussion alone', () => {
    const drums = { ...CHOIR, chunks: [voice('Bells', 9, [60])] };
    expect(warn([{ name: 'bells', role: 'tuned' }], drums)[0]).toContain('plays on channel 10 alone');
    expect(warn([{ name: 'bells', channels: [9], role: 'tuned' }, { role: 'guide' }], drums)).toEqual([]);
  });

  test('lists no more than two dozen tracks', () => {
    const many = { ...CHOIR, chunks: Array.from({ length: 30 }, () => voice('', 0, [60])) };
    expect(warn([{ name: 'x', role: 'guide' }], many)[0]).toMatch(/23, 24 and 6 more\.$/);
  });
});

test('of a file of several pieces, a piece has the rules for its own track and for all', () => {
  const rules: TrackRole[] = [
    { number: 0, role: 'guide' },
    { number: 2, role: 'tuned' },
    { name: 'a', role: 'guide' },
  ];
  expect(toRulesOfPiece(rules, 2)).toEqual([
    { number: 0, role: 'tuned' },
    { name: 'a', role: 'guide' },
  ]);
});

test('a rule says in words whom it is for', () => {
  expect(formatTracks({ role: 'guide' })).toBe('every other track');
  expect(formatTracks({ number: 2, role: 'guide' })).toBe('track 3');
  expect(formatTracks({ channels: [0, 1], role: 'guide' })).toBe('channels 1, 2');
  expect(formatTracks({ name: 'Organ', channels: [9], role: 'guide' })).toBe('"Organ" on channel 10');
});
