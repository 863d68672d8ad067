import { expect, test } from 'vitest';
import { TokenBucket } from '../../../src/io/server/viewer.js';

const count = (bucket: TokenBucket, tries: number, nowMs: number) =>
  Array.from({ length: tries }, () => bucket.take(nowMs)).filter(Boolean).length;

test('the rate limit of a viewer allows a burst, then a steady rate, then a burst again', () => {
  const bucket = new TokenBucket(10, 5);
  expect(count(bucket, 20, 0)).toBe(5);
  expect(count(bucket, 20, 50)).toBe(0);
  expect(count(bucket, 20, 100)).toBe(1);
  expect(count(bucket, 20, 400)).toBe(3);
  expect(count(bucket, 20, 60_000)).toBe(5);
});

test('the rate limit of a viewer allows nothing more while the clock stops or goes back', () => {
  const bucket = new TokenBucket(10, 1);
  expect(count(bucket, 3, 1000)).toBe(1);
  expect(count(bucket, 3, 0)).toBe(0);
  expect(count(bucket, 3, 1000)).toBe(0);
});
