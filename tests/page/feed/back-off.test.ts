import { expect, test } from 'vitest';
import { toPauseMs } from '../../../src/page/feed/back-off.js';

test("the page's pauses before reconnecting double up to eight seconds", () => {
  expect([0, 1, 2, 3, 4, 5, 6, 500].map((failures) => toPauseMs(failures, 0))).toEqual([
    250, 500, 1000, 2000, 4000, 8000, 8000, 8000,
  ]);
});

test("chance shortens the page's pauses by a fifth at most", () => expect(toPauseMs(2, 1)).toBe(800));
