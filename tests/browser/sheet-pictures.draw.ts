import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { runCli } from '../support/run-cli.js';
import { launch } from './chromium.js';

/** Where the pictures go. */
const FOLDER = process.env.LEEWAY_PICTURES ?? '.pictures';

test('the lecture sheet of the README is drawn', async () => {
  mkdirSync(FOLDER, { recursive: true });
  const folder = mkdtempSync(join(tmpdir(), 'leeway-sheet-'));
  const browser = await launch();
  try {
    const [piece, sheet] = ['pump.mid', 'pump.html'].map((name) => join(folder, name));
    expect((await runCli(['pump', 'I vi ii V', '-o', piece, '--passes', '1'])).code).toBe(0);
    expect((await runCli(['explain', piece, '--strategy', 'free', '--sheet', sheet])).code).toBe(0);
    const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
    await page.goto(pathToFileURL(sheet).href);
    const shot = await page.screenshot({ path: join(FOLDER, 'lecture-sheet.png'), fullPage: true });
    expect(shot.length).toBeGreaterThan(20_000);
  } finally {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  }
});
