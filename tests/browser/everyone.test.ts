import { expect, test } from 'vitest';
import { findFaults } from './axe.js';
import { PASS_MS, usePageStage } from './page-stage.js';

const stage = usePageStage();

test.each([
  ['the sheet by day', 1280, 720, 'light', ''],
  ['the sheet by night', 1280, 720, 'dark', ''],
  ['the stage', 1920, 1080, 'dark', '#stage'],
  ['the stage by day', 1024, 768, 'light', '#stage'],
  ['a phone', 390, 844, 'light', ''],
  ['a phone by night', 390, 844, 'dark', ''],
  ['a phone on its side', 844, 390, 'light', ''],
  ['an onlooker', 1280, 720, 'light', 'onlooker'],
  ["an onlooker's phone", 360, 740, 'dark', 'onlooker'],
] as const)('%s has no serious fault that axe can find', async (_what, width, height, colorScheme, hash) => {
  const { page, server } = stage;
  server.session.start('choir-warm-up');
  server.skip(PASS_MS);
  await page.setViewportSize({ width, height });
  await page.emulateMedia({ colorScheme });
  const urls = {
    '': server.playerUrl,
    onlooker: server.url,
    '#stage': `${server.url}#stage&token=${server.token}`,
  };
  await stage.open(urls[hash]);
  await page.waitForSelector('.line-end');
  const { faults, passed } = await findFaults(stage.page);
  // It did look.
  expect(passed).toBeGreaterThan(10);
  expect(faults.filter((fault) => /^(serious|critical)/.test(fault))).toEqual([]);
});

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
