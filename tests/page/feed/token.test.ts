import { expect, test } from 'vitest';
import { readFragment } from '../../../src/page/feed/token.js';

test.each([
  ['', undefined, false, ''],
  ['#token=abc', 'abc', false, ''],
  ['#stage', undefined, true, '#stage'],
  ['#stage&token=a-b_c', 'a-b_c', true, '#stage'],
  ['#token=', undefined, false, ''],
  ['#nonsense', undefined, false, ''],
])('the page takes its token from the address: %s', (hash, token, stage, shown) =>
  expect(readFragment(hash)).toEqual({ token, stage, shown }),
);
