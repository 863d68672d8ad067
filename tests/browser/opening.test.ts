import { expect, test } from 'vitest';
import { usePageStage } from './page-stage.js';

const stage = usePageStage();

test('the page opens without errors under a strict policy, and contacts only its own server', async () => {
  await stage.open();
  await expect.poll(() => stage.text('.exact')).toMatch(/Play something, or start a piece\./);
  expect(stage.watch.complaints).toEqual([]);
  const { host } = new URL(stage.server.url);
  for (const request of stage.watch.requests) expect(new URL(request).host).toBe(host);
  expect(stage.watch.requests.length).toBeGreaterThan(3);
});

test('the token leaves the address bar and survives a reload', async () => {
  await stage.open();
  expect(stage.page.url()).toBe(stage.server.url);
  await stage.page.reload();
  await stage.page.waitForSelector('.transport .play:enabled');
});

test('the page reports a lost link, still shows its sheet, and plays on when the link is back', async () => {
  const { page, server } = stage;
  await stage.open();
  server.session.start('choir-warm-up');
  await expect.poll(() => page.locator('.ladder .name').count()).toBe(4);
  server.closeFeed();
  await expect.poll(() => stage.text('.link')).toMatch(/^Lost touch with Leeway\. Trying again\./);
  expect(await page.locator('.line-end').count()).toBe(4);
  expect(await page.getByRole('button', { name: 'Stop' }).isDisabled()).toBe(true);
  expect(await page.locator('.room').count()).toBe(0);
  server.openFeed();
  await expect.poll(() => page.locator('.link').count()).toBe(0);
  await page.getByRole('button', { name: 'Stop' }).click();
  await expect.poll(() => stage.isSilent()).toBe(true);
});
