import { expect, test } from 'vitest';
import { FeedClient } from '../support/feed-client.js';
import { usePageStage } from './page-stage.js';

const stage = usePageStage();

test('a viewer without the token has nothing to play or set, and sends nothing', async () => {
  const { page, server } = stage;
  const sent: string[] = [];
  page.on('websocket', (socket) => socket.on('framesent', ({ payload }) => sent.push(String(payload))));
  await stage.open(server.url);
  await expect.poll(() => stage.text('.purpose')).toMatch(/^You look on/);
  for (const dead of ['Play', 'All notes off', 'Settings', 'Sustain'])
    expect(await page.getByText(dead, { exact: true }).count(), dead).toBe(0);
  for (const key of ['z', 'Space', 'Home', 'PageDown', 'l']) await page.keyboard.press(key);
  // What one hears is one's own affair.
  await stage.hear('free');
  await expect.poll(() => stage.text('.room')).toBe('The room hears anchored.');
  expect(await stage.text('.drift .caption')).toMatch(/free$/);
  await page.getByRole('button', { name: 'Follow the room' }).click();
  await expect.poll(() => stage.heard()).toContain('anchored');
  // What the page had to send would be on its way by the next picture.
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
  expect(sent).toEqual([]);
  expect(server.session.orders).toEqual([]);
});

test('the page does not say that a viewer has no rights before it is known', async () => {
  const { page, server } = stage;
  server.holdAnswers();
  await page.goto(server.playerUrl);
  const start = page.getByRole('button', { name: 'Play', exact: true });
  // Everything is on the sheet, ready to be used once it may be.
  await expect.poll(() => start.count()).toBe(1);
  expect(await page.locator('.room').count()).toBe(0);
  expect(await start.isDisabled()).toBe(true);
  expect(server.releaseAnswers()).toBe(1);
  await page.waitForSelector('.play:enabled');
  expect(await start.isEnabled()).toBe(true);
  expect(await page.locator('.room').count()).toBe(0);
});

test('orders sent without the token are refused', async () => {
  const { server } = stage;
  const viewer = await new FeedClient(server.url.replace('http', 'ws').replace(/\/$/, '')).isOpen();
  viewer.send({ type: 'control', what: 'hear', value: 'free' });
  await expect.poll(() => viewer.of('refused').map(({ code }) => code)).toEqual(['NO_TOKEN']);
  viewer.vanish();
  expect(server.session.trio.strategy).toBe('anchored');
});
