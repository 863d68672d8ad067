import { expect, test } from 'vitest';
import { MOST_REPLAYED, PiecePast } from '../../../src/app/live/piece-past.js';
import { PieceStretch } from '../../../src/app/live/piece-stretch.js';
import { pieceOf } from '../../support/pieces.js';

const PIECE = pieceOf('0 0xc0 19, 0 0x90 60 80, 1000 0x80 60 0, 1000 0x90 62 80, 2000 0x80 62 0');

function replay(past: PiecePast): string[] {
  const seen: string[] = [];
  for (const pass of past.passes)
    past.replay(
      pass,
      (atMs, bytes) => seen.push(`${atMs} ${[...bytes].join(' ')}`),
      (atMs) => seen.push(`${atMs} end`),
    );
  return seen;
}

test('the past of a piece has every pass and message at its time, at the tempo, up to now', () => {
  const past = new PiecePast(new PieceStretch(PIECE), { n: 2, next: 4, positionMs: 1000 }, 5000, 2);
  expect(past.passes).toEqual([
    { n: 1, atMs: 3500 },
    { n: 2, atMs: 4500 },
  ]);
  expect(replay(past)).toEqual(
    [
      '3500 192 19, 3500 144 60 80, 4000 128 60 0, 4000 144 62 80, 4500 128 62 0, 4500 end',
      '4500 192 19, 4500 144 60 80, 5000 128 60 0, 5000 144 62 80',
    ]
      .join(', ')
      .split(', '),
  );
  expect([...past.controls]).toEqual([192, 19, 0]);
  expect(past.isCut).toBe(false);
});

test('the past of a stretch begins each pass with what leads into it', () => {
  const stretch = new PieceStretch(PIECE, { fromMs: 500, toMs: 1000 });
  const past = new PiecePast(stretch, { n: 2, next: 2, positionMs: 600 }, 1000, 1);
  expect(replay(past)).toEqual('400 192 19, 400 144 60 80, 900 end, 900 192 19, 900 144 60 80'.split(', '));
});

test('a piece of which nothing was played has no past', () => {
  const past = new PiecePast(new PieceStretch(PIECE), undefined, 5000, 1);
  expect([past.passes, past.isCut, past.controls.length]).toEqual([[], false, 0]);
});

test('too long a past is cut to the present pass', () => {
  const place = { next: 5, positionMs: 2000 };
  const most = Math.floor(MOST_REPLAYED / 5);
  const [whole, cut] = [most, most + 1].map(
    (n) => new PiecePast(new PieceStretch(PIECE), { n, ...place }, 0, 1),
  );
  expect([whole.isCut, whole.passes.length]).toEqual([false, most]);
  expect([cut.isCut, cut.passes]).toEqual([true, [{ n: most + 1, atMs: -2000 }]]);
});
