import { expect, test } from 'vitest';
import { usePageStage } from './page-stage.js';

const stage = usePageStage();

test('what is heard is one choice for the whole room, and a leeway is set beside it', async () => {
  const { page, browser, server } = stage;
  await stage.open();
  const other = await browser.newPage();
  await other.goto(server.url);
  for (const tuning of ['pull', 'equal', 'free', 'anchored'] as const) {
    await stage.hear(tuning);
    await expect.poll(() => stage.heard()).toContain(tuning);
    await expect
      .poll(() => other.locator('.hear-row label:has(input:checked)').getAttribute('class'))
      .toContain(tuning);
  }
  await page.locator('.settings-fold summary').click();
  await page.getByLabel('Leeway when anchored').fill('5');
  await page.keyboard.press('Enter');
  await expect.poll(() => stage.text('.hear-words')).toContain('within 5 cents of home');
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
