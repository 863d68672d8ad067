import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { launch } from './chromium.js';
import { measureFirstLoad } from './first-load.js';
import { PageProcess } from './page-process.js';

/** What the first load may weigh. */
const MOST_BYTES = 150_000;

let browser: Browser;
let leeway: PageProcess;

beforeAll(async () => {
  [browser, leeway] = await Promise.all([launch(), PageProcess.start(['live', '--page'])]);
});
afterAll(async () => {
  await browser?.close();
  await leeway?.stop();
});

test('the first load is at most 150 kB, compressed', async () => {
  const { packedBytes, plainBytes, requests } = await measureFirstLoad(browser, leeway.playerUrl);
  expect(packedBytes).toBeLessThanOrEqual(MOST_BYTES);
  // Page, script and style at least have come, and have come packed.
  expect(requests).toBeGreaterThanOrEqual(3);
  expect(packedBytes).toBeGreaterThan(20_000);
  expect(packedBytes).toBeLessThan(plainBytes / 2);
});
