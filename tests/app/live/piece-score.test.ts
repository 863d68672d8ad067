import { expect, test } from 'vitest';
import { toScoreFact } from '../../../src/app/live/piece-score.js';
import { LIMITS } from '../../../src/core/protocol/index.js';
import { pieceOf } from '../../support/pieces.js';

test('viewers are told the chords and bars of a piece, as far as their bounds go', () => {
  const many = Array.from({ length: LIMITS.chords + 9 }, (_, i) => `${100 * i} 0x90 ${40 + (i % 40)} 80`);
  const score = toScoreFact(
    pieceOf(many.join(', '), { barsMs: Array.from({ length: 2000 }, (_, i) => i / 3) }),
  );
  expect(score.name).toBe('piece');
  expect(score.chords).toHaveLength(LIMITS.chords);
  expect(score.chords[1]).toEqual({ atMs: 100, symbol: '', keys: [40, 41] });
  expect(score.chords[30].keys).toHaveLength(16);
  expect(score.barsMs).toHaveLength(LIMITS.bars);
  expect(score.barsMs[1]).toBe(0.333);
});

test.each([
  ['60 64 67', 'C'],
  ['57 60 64', 'Am'],
  ['65 69 74', 'Dm/F'],
  ['55 59 62 65', 'G7'],
  ['63 67 70', 'E♭'],
  ['60 61', ''],
])('the keys %s are the chord "%s"', (keys, symbol) => {
  const struck = keys.split(' ').map((key) => `0 0x90 ${key} 80`);
  expect(toScoreFact(pieceOf(struck.join(', '))).chords[0].symbol).toBe(symbol);
});
