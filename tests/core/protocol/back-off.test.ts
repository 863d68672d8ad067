import { expect, test } from 'vitest';
import { toPauseMs } from '../../../src/core/protocol/index.js';

test('pauses before reconnecting double up to eight seconds', () => {
  expect([0, 1, 2, 3, 4, 5, 6, 500].map((failures) => toPauseMs(failures, 0))).toEqual([
    250, 500, 1000, 2000, 4000, 8000, 8000, 8000,
  ]);
});

test('chance shortens pauses before reconnecting by a fifth at most', () =>
  expect(toPauseMs(2, 1)).toBe(800));
