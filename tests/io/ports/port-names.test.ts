import { expect, test } from 'vitest';
import { isLinkEnd, toPlaceName, toPlaces } from '../../../src/io/ports/match-port.js';

test.each([
  ['Test Keys:Test Keys MIDI 1 24:0', 'linux', 'Test Keys:Test Keys MIDI 1'],
  ['Midi Through:Midi Through Port-0 14:0', 'linux', 'Midi Through:Midi Through Port-0'],
  ['Odd 1:2 128:15', 'linux', 'Odd 1:2'],
  ['Odd 1:2', 'darwin', 'Odd 1:2'],
  ['Keys 10', 'win32', 'Keys 10'],
] as const)('%s on %s is %s', (fullName, platform, name) => {
  expect(toPlaceName(fullName, platform)).toBe(name);
});

test('equal names are counted in their order', () => {
  expect(toPlaces(['A', 'B', 'A', 'A'])).toEqual([
    { name: 'A', occurrence: 1 },
    { name: 'B', occurrence: 1 },
    { name: 'A', occurrence: 2 },
    { name: 'A', occurrence: 3 },
  ]);
});

test('the ends of open links are known, on the system that lists them', () => {
  expect(isLinkEnd('RtMidi Input Client:RtMidi Input', 'linux')).toBe(true);
  expect(isLinkEnd('RtMidi Output Client:Leeway', 'linux')).toBe(false);
  expect(isLinkEnd('RtMidi Input Client:RtMidi Input', 'darwin')).toBe(false);
});
