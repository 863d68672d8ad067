import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { launch } from './chromium.js';
import { PageProcess } from './page-process.js';

/** What one load of the page cost, by the browser's own performance entries. */
export interface FirstLoad {
  /** Of all files, over the wire, without headers; and unpacked. */
  readonly packedBytes: number;
  readonly plainBytes: number;
  readonly requests: number;
  /** From the start of the load to when the keys are on the sheet and play. */
  readonly playableMs: number;
}

/** Runs the program and a browser for the tests of a file; what is returned loads its page once. */
export function useFirstLoad(): () => Promise<FirstLoad> {
  let browser: Browser;
  let leeway: PageProcess;
  beforeAll(async () => {
    [browser, leeway] = await Promise.all([launch(), PageProcess.start(['live', '--page'])]);
  });
  afterAll(async () => {
    await browser?.close();
    await leeway?.stop();
  });
  return () => measureFirstLoad(browser, leeway.playerUrl);
}

/** Loads the page with nothing in any cache. */
async function measureFirstLoad(browser: Browser, playerUrl: string): Promise<FirstLoad> {
  const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
  try {
    await page.addInitScript(() => {
      const look = () => {
        // A key that may be played, with what sounds beside it.
        const isThere = document.querySelector('.keys[aria-disabled="false"] [data-key]') !== null;
        if (isThere) performance.mark('playable');
        else requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    });
    await page.goto(playerUrl);
    await page.waitForFunction(() => performance.getEntriesByName('playable').length > 0);
    // On a busy machine the keys may play before the last file has come.
    await page.waitForLoadState('networkidle');
    return await page.evaluate(() => {
      const files = [
        ...performance.getEntriesByType('navigation'),
        ...performance.getEntriesByType('resource'),
      ] as PerformanceResourceTiming[];
      const sum = (of: (file: PerformanceResourceTiming) => number) =>
        files.reduce((total, file) => total + of(file), 0);
      return {
        packedBytes: sum((file) => file.encodedBodySize),
        plainBytes: sum((file) => file.decodedBodySize),
        requests: files.length,
        playableMs: performance.getEntriesByName('playable')[0].startTime,
      };
    });
  } finally {
    await page.close();
  }
}
