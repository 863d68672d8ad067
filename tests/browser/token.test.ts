import { expect, test } from 'vitest';
import { findFreePort } from '../support/free-port.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { launch } from './chromium.js';
import { PageProcess } from './page-process.js';
import { PageReader } from './page-reader.js';

const state = useTemporaryFolder();

test("an open page is the lecturer's still when the program was stopped and started again", async () => {
  const port = await findFreePort();
  const before = process.env.XDG_STATE_HOME;
  process.env.XDG_STATE_HOME = state();
  const browser = await launch();
  const start = () => PageProcess.start(['live', '--page', '--port', String(port)]);
  let leeway = await start();
  try {
    const reader = new PageReader(await browser.newPage({ viewport: { width: 1280, height: 720 } }));
    const { page } = reader;
    await reader.load(leeway.playerUrl);
    await page.waitForSelector('.play:enabled');
    const { token } = leeway;
    expect(await leeway.stop()).toBe(0);
    await expect.poll(() => page.locator('.play:enabled').count()).toBe(0);
    leeway = await start();
    expect(leeway.token).toBe(token);
    // It comes back by itself, and after it was loaded again.
    await page.waitForSelector('.play:enabled');
    await page.reload();
    await page.waitForSelector('.play:enabled');
    await page.keyboard.press('Shift+Digit2');
    await expect.poll(() => reader.text('.hear-words')).toMatch(/^Chords are pure\. Nothing is corrected/);
    // Another page without the token looks on.
    const other = new PageReader(await browser.newPage());
    await other.load(leeway.viewerUrl);
    await expect.poll(() => other.text('.purpose')).toMatch(/^You look on/);
    await expect.poll(() => other.heard()).toContain('free');
  } finally {
    await browser.close();
    await leeway.stop();
    process.env.XDG_STATE_HOME = before;
  }
});
