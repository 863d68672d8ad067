import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launch } from './chromium.js';
import { ScriptedServer } from './scripted-server.js';
import { ScriptedSession } from './scripted-session.js';
import { expectTrueBends } from './true-bends.js';

/** Where the pictures of the page go. */
const FOLDER = process.env.LEEWAY_PICTURES ?? '.pictures';
const PAGE = fileURLToPath(new URL('../../dist/page', import.meta.url));

const SIZES = {
  notebook: { width: 1280, height: 720 },
  hall: { width: 1920, height: 1080 },
  phone: { width: 390, height: 844 },
} as const;

describe('pictures of the page', () => {
  let browser: Browser;
  let server: ScriptedServer;

  beforeAll(async () => {
    mkdirSync(FOLDER, { recursive: true });
    const session = new ScriptedSession();
    session.start('choir-warm-up');
    // A moment into the fourth pass: all pictures show the same.
    session.fastForward(49_500);
    server = new ScriptedServer(session, PAGE);
    await server.start();
    server.stopClock();
    browser = await launch();
  });
  afterAll(async () => {
    await browser?.close();
    await server?.stop();
  });

  test.each(
    (['notebook', 'hall', 'phone'] as const).flatMap((size) =>
      (['light', 'dark'] as const).flatMap((colorScheme) =>
        (size === 'phone' ? ['sheet'] : ['sheet', 'stage']).map((view) => ({ size, colorScheme, view })),
      ),
    ),
  )('are drawn at $size $colorScheme $view', async ({ size, colorScheme, view }) => {
    const page = await browser.newPage({ viewport: SIZES[size], colorScheme, hasTouch: size === 'phone' });
    await page.goto(view === 'stage' ? `${server.url}#stage&token=${server.token}` : server.playerUrl);
    await page.waitForSelector('.line-end', { timeout: 30_000 });
    // A phone shows the chord on a tab of its own.
    if (size !== 'phone') await page.waitForSelector('.ladder svg .name');
    // Drawn when two pictures in a row are the same.
    let last: Buffer = Buffer.alloc(0);
    const isStill = async () => {
      const before = last;
      last = await page.screenshot();
      return last.equals(before);
    };
    await expect.poll(isStill, { interval: 300 }).toBe(true);
    if (view === 'sheet' && size !== 'phone') await expectTrueBends(page);
    const day = colorScheme === 'light' ? 'day' : 'night';
    const shot = await page.screenshot({ path: `${FOLDER}/${size}-${view}-${day}.png` });
    expect(shot.length).toBeGreaterThan(20_000);
    await page.close();
  });
});
