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
