import { expect, test } from 'vitest';
import { toLeadIn } from '../../../src/core/score/index.js';
import { numbers } from '../../support/numbers.js';
import { pieceOf } from '../../support/pieces.js';

const rowsOf = (bytes: Uint8Array) =>
  Array.from({ length: bytes.length / 3 }, (_, i) => [...bytes.subarray(3 * i, 3 * i + 3)]);

test('the lead-in of a piece has the last of each message that replaces others, in the order they were sent', () => {
  const piece = pieceOf(
    '0 0xb0 7 1, 0 0xc0 19, 0 0xb0 10 3, 1 0xe0 0 70, 2 0xb0 7 90, 3 0xc0 20, 4 0xd0 5, 5 0xa0 60 9, 6 0xb0 123 0, 7 0x90 60 80',
  );
  expect(rowsOf(toLeadIn(piece, 9).controls)).toEqual(
    numbers('0xb0 10 3, 0xe0 0 70, 0xb0 7 90, 0xc0 20 0, 0xd0 5 0'),
  );
});

test('the lead-in of a piece has parameters as they were sent, each with its number before it', () => {
  const piece = pieceOf('0 0xb0 101 0, 0 0xb0 100 0, 0 0xb0 6 2, 1 0xb0 100 1, 1 0xb0 6 64, 2 0xb0 121 0');
  expect(rowsOf(toLeadIn(piece, 6).controls)).toEqual(
    numbers('0xb0 101 0, 0xb0 100 0, 0xb0 6 2, 0xb0 100 1, 0xb0 6 64, 0xb0 121 0'),
  );
});

test('the lead-in of a piece has the keys that are down, percussion left out', () => {
  const piece = pieceOf('0 0x90 60 80, 0 0x91 64 70, 0 0x99 36 90, 9 0x80 60 0, 9 0x90 62 50, 9 0x90 65 0');
  expect(rowsOf(toLeadIn(piece, 6).notes)).toEqual(numbers('0x91 64 70, 0x90 62 50'));
  expect(toLeadIn(piece, 0).notes).toHaveLength(0);
});
