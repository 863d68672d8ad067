import { expect, test } from 'vitest';
import { usePageStage } from './page-stage.js';

const stage = usePageStage();

test('the strategy that is heard switches from the top line, and every page shows it with its leeway', async () => {
  const { page, browser, server } = stage;
  await stage.open();
  const other = await browser.newPage();
  await other.goto(server.url);
  await page.locator('.segments label.pull').click();
  await expect.poll(() => stage.text('.top .sounding')).toMatch(/^pulled at/);
  await expect.poll(() => other.locator('.top .sounding').textContent()).toMatch(/^pulled at/);
  await page.locator('.settings-fold summary').click();
  await page.locator('.segments label.free').click();
  await expect.poll(() => stage.text('.top .sounding')).toBe('free: the pitch may drift');
  await page.getByLabel('Leeway when anchored').fill('5');
  await page.keyboard.press('Enter');
  await page.locator('.segments label.anchored').click();
  await expect.poll(() => stage.text('.top .sounding')).toBe('anchored within 5 c of home');
  await other.close();
});

test('recall is asked for in cents, and no more than fifty of them', async () => {
  const { page, server } = stage;
  await stage.open();
  await page.locator('.settings-fold summary').click();
  const recall = page.getByLabel('Recall: off a pure chord by up to');
  for (const [typed, asked] of [
    ['12', 12],
    ['70', 50],
  ] as const) {
    await recall.fill(typed);
    await page.keyboard.press('Enter');
    await expect
      .poll(() => server.session.orders.at(-1))
      .toEqual({ type: 'control', what: 'recall', value: asked });
  }
});
