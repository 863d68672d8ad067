import { expect, test } from 'vitest';
import { toChords } from '../../../src/core/score/index.js';
import { pieceOf } from '../../support/pieces.js';

const chordsOf = (text: string) =>
  toChords(pieceOf(text)).map(({ atMs, lastMs, keys }) => `${atMs}-${lastMs}: ${keys.join(' ')}`);

test.each([
  ['notes within 35 ms are one chord', '0 0x90 67 80, 20 0x90 60 80, 35 0x90 64 80', ['0-35: 60 64 67']],
  ['a later note is another', '0 0x90 67 80, 36 0x90 60 80', ['0-0: 67', '36-36: 60 67']],
  [
    'tied keys sound on, and what comes up at the same time does not',
    '0 0x90 60 80, 0 0x90 64 80, 500 0x80 64 0, 500 0x90 65 80',
    ['0-0: 60 64', '500-500: 60 65'],
  ],
  [
    'a pedal leaves other channels alone, and a key that was never down ends nothing',
    '0 0x80 60 0, 0 0xb0 64 127, 0 0x90 60 80, 100 0x80 60 0, 150 0xb1 64 0, 200 0x91 67 80',
    ['0-0: 60', '200-200: 60 67'],
  ],
  [
    'a pedal holds the keys of its channel',
    '0 0xb0 64 127, 0 0x90 60 80, 100 0x80 60 0, 100 0x91 62 80, 200 0x81 62 0, 200 0x90 64 80, 300 0xb0 64 0, 400 0x90 65 80',
    ['0-0: 60', '100-100: 60 62', '200-200: 60 64', '400-400: 64 65'],
  ],
  [
    'a key that two voices hold sounds until both are up',
    '0 0x90 60 80, 0 0x90 60 80, 9 0x80 60 0, 99 0x90 62 1',
    ['0-0: 60', '99-99: 60 62'],
  ],
  ['percussion is left out', '0 0x99 36 80, 500 0x90 60 80, 900 0x99 38 80', ['500-500: 60']],
  ['a piece without notes has none', '0 0xc0 19', []],
] as const)('in the chords of a piece %s', (_, text, chords) => {
  expect(chordsOf(text)).toEqual(chords);
});

test('a chord of a piece ends before the first message that is later', () => {
  const chords = toChords(
    pieceOf('0 0x90 60 80, 10 0x80 60 0, 20 0x90 64 80, 20 0xb0 7 1, 90 0xb0 7 2, 95 0x90 67 80'),
  );
  expect(chords.map(({ lastIndex, end }) => [lastIndex, end])).toEqual([
    [2, 4],
    [5, 6],
  ]);
});
