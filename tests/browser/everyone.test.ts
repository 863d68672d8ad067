import { expect, test } from 'vitest';
import { findFaults } from './axe.js';
import { PASS_MS, usePageStage } from './page-stage.js';

const stage = usePageStage();

const STORY = { title: 'Where does the comma go?', step: 3, steps: 7, sentence: 'One pass, one comma.' };

test.each([
  ['the sheet', 1280, 720, ''],
  ['the stage', 1920, 1080, '#stage'],
  ['a small stage', 1024, 768, '#stage'],
  ['a phone', 390, 844, ''],
  ['a phone on its side', 844, 390, ''],
  ['an onlooker', 1280, 720, 'onlooker'],
  ["an onlooker's phone", 360, 740, 'onlooker'],
  ['the list of keys and terms', 1280, 720, 'help'],
  ['the list of keys and terms on a phone', 390, 844, 'help'],
  ['a story', 1280, 720, 'story'],
  ['a story on a phone', 390, 844, 'story'],
  ['a story on the stage', 1920, 1080, 'story on the stage'],
  ['everything that folds out', 1280, 720, 'folds'],
] as const)(
  '%s has no serious fault that axe can find, by day and by night',
  async (_what, width, height, state) => {
    const { page, server } = stage;
    server.session.start('choir-warm-up');
    server.skip(PASS_MS);
    if (state.startsWith('story')) server.session.stage = { ...server.session.stage, story: STORY };
    await page.setViewportSize({ width, height });
    const isStage = state === '#stage' || state === 'story on the stage';
    const own = isStage ? server.playerUrl.replace('#', '#stage&') : server.playerUrl;
    await stage.open(state === 'onlooker' ? server.url : own);
    await page.waitForSelector('.line-end');
    if (state === 'help') {
      await page.keyboard.press('?');
      await page.waitForSelector('dialog.help[open]');
    }
    if (state === 'story') await page.waitForSelector('.story .sentence');
    const folds = state === 'folds' ? await page.locator('.fold summary').all() : [undefined];
    for (const fold of folds) {
      await fold?.click();
      if (fold !== undefined) await page.waitForSelector('.fold[open] > div > *');
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme });
        const { faults, passed } = await findFaults(page);
        // It did look.
        expect(passed).toBeGreaterThan(10);
        expect(faults.filter((fault) => /^(serious|critical)/.test(fault))).toEqual([]);
      }
      await fold?.click();
    }
  },
);

test('no tab of the page is wider than a phone, and every target is a fingertip high', async () => {
  const { page, server } = stage;
  server.session.start('choir-warm-up');
  await page.setViewportSize({ width: 390, height: 844 });
  await stage.open();
  await page.waitForSelector('.phone nav');
  for (const tab of ['Curve', 'Chord', 'Lattice', 'Ledger', 'Play', 'More']) {
    const button = page.locator('nav button', { hasText: tab });
    await button.click();
    await expect.poll(() => button.getAttribute('aria-current')).toBe('page');
    const [wide, small] = await page.evaluate(() => [
      document.documentElement.scrollWidth,
      [...document.querySelectorAll('button, select, summary')].filter(
        (one) => one.getBoundingClientRect().height < 44,
      ).length,
    ]);
    expect(wide).toBeLessThanOrEqual(390);
    expect(small).toBe(0);
  }
});

test('the drift chart is drawn once a second with reduced motion, and else with the music', async () => {
  const { page, server } = stage;
  server.session.start('choir-warm-up');
  await page.addInitScript(() => {
    const drawn: number[] = [];
    const { clearRect } = CanvasRenderingContext2D.prototype;
    CanvasRenderingContext2D.prototype.clearRect = function (...args) {
      drawn.push(performance.now());
      return clearRect.apply(this, args);
    };
    Object.assign(globalThis, { drawn });
  });
  /** The least pause between two of the last four drawings. */
  const readPause = () =>
    page.evaluate(() => {
      const { drawn } = globalThis as unknown as { drawn: number[] };
      const last = drawn.slice(-4);
      return last.length < 4 ? 0 : Math.min(...last.slice(1).map((ms, i) => ms - last[i]));
    });
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await stage.open();
  await expect.poll(readPause, { timeout: 30_000, interval: 300 }).toBeGreaterThan(950);
  await page.emulateMedia({ reducedMotion: 'no-preference' });
  await expect.poll(readPause).toBeLessThan(500);
});
