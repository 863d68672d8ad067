import { expect, test } from 'vitest';
import { useFirstLoad } from './first-load.js';

/** What the first load may weigh. */
const MOST_BYTES = 67_000;

const load = useFirstLoad();

test('the first load is at most 67 kB, compressed', async () => {
  const { packedBytes, plainBytes, requests } = await load();
  expect(packedBytes).toBeLessThanOrEqual(MOST_BYTES);
  // Page, script and style at least have come, and have come packed.
  expect(requests).toBeGreaterThanOrEqual(3);
  expect(packedBytes).toBeGreaterThan(20_000);
  expect(packedBytes).toBeLessThan(plainBytes / 2);
});
