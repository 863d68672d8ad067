import { expect, test } from 'vitest';
import { messagesOf, PieceStretch } from '../../../src/app/live/piece-stretch.js';
import { pieceOf } from '../../support/pieces.js';

const PIECE = pieceOf(
  '0 0xc0 19, 0 0x90 60 80, 1000 0x80 60 0, 1000 0x90 62 80, 1020 0x90 65 80, 2000 0x80 62 0',
);

test.each([
  ['the whole piece', undefined, [0, 2000, 0, 6]],
  ['ends near a chord are at its beginning', { fromMs: 980, toMs: 1990 }, [1000, 1990, 2, 5]],
  ['an end behind the beginning of a chord is before it', { fromMs: 0, toMs: 1025 }, [0, 1000, 0, 2]],
  ['ends beyond the piece are its own', { fromMs: -50, toMs: 9999 }, [0, 2000, 0, 6]],
  ['at least 250 ms', { fromMs: 500, toMs: 510 }, [500, 750, 2, 2]],
] as const)('of a stretch: %s', (_, range, [fromMs, toMs, first, end]) => {
  expect(new PieceStretch(PIECE, range)).toMatchObject({ fromMs, toMs, first, end });
});

test('a stretch knows its chords, and the places before and after each', () => {
  const stretch = new PieceStretch(PIECE);
  expect(stretch.chords.map(({ keys }) => keys)).toEqual([[60], [62, 65]]);
  expect(stretch.chordAfter(2)?.lastMs).toBe(1020);
  expect(stretch.chordAfter(5)).toBeUndefined();
  expect(stretch.placeBefore(1, 5)).toEqual({ n: 1, next: 2, positionMs: 0 });
  expect(stretch.placeBefore(2, 2)).toEqual({ n: 1, next: 5, positionMs: 1020 });
  expect(stretch.placeBefore(1, 2)).toBeUndefined();
  expect([stretch.indexAt(1000), stretch.indexAfter(1000), stretch.indexAt(5000)]).toEqual([2, 4, 6]);
});

test('messages of a list have their own lengths', () => {
  expect([...messagesOf(PIECE.messages)].map(({ length }) => length)).toEqual([2, 3, 3, 3, 3, 3]);
});
