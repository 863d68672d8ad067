import { beforeEach, describe, expect, test } from 'vitest';
import { usePageStage } from './page-stage.js';

const stage = usePageStage();

/** Lets the page's own clock go on by so much, with all that it draws; nothing else moves it. */
const pass = (ms: number) => stage.page.clock.runFor(ms);
const isChecked = (strategy: string) => stage.page.locator(`.hear-row .${strategy} input`).isChecked();
const choose = (strategy: string) =>
  stage.page.locator(`.hear-row .${strategy} input`).dispatchEvent('click');
/** What has come to the page. */
let frames = 0;
let settings = 0;

beforeEach(async () => {
  const { page, server } = stage;
  frames = 0;
  settings = 0;
  page.on('websocket', (socket) =>
    socket.on('framereceived', ({ payload }) => {
      if (String(payload).startsWith('{"type":"frame"')) frames++;
      if (String(payload).startsWith('{"type":"settings"')) settings++;
    }),
  );
  server.session.start('choir-warm-up');
  await page.clock.install();
  await stage.open();
  await page.clock.pauseAt(Date.now() + 60_000);
});

/** Waits until more frames have come, and draws them. */
async function drawFrames(): Promise<void> {
  const before = frames;
  await expect.poll(() => frames).toBeGreaterThan(before + 2);
  await pass(40);
}

describe('while the answer to an order is on its way', () => {
  test('a control shows what was asked for until the session confirms it, however many frames come', async () => {
    const { server } = stage;
    server.holdOrders();
    await choose('free');
    for (let i = 0; i < 4; i++) {
      await drawFrames();
      expect(await isChecked('free')).toBe(true);
    }
    server.releaseOrders();
    await drawFrames();
    expect(await isChecked('free')).toBe(true);
    await pass(2000);
    await drawFrames();
    expect(await isChecked('free')).toBe(true);
  });

  test('an order that is never answered is shown for a second, and then the real state', async () => {
    stage.server.holdOrders();
    await choose('free');
    await pass(900);
    expect(await isChecked('free')).toBe(true);
    await drawFrames();
    await pass(200);
    expect(await isChecked('free')).toBe(false);
    expect(await isChecked('anchored')).toBe(true);
  });

  test('what another viewer sets after the answer is shown at once', async () => {
    const { server } = stage;
    await choose('free');
    await expect.poll(() => settings).toBe(1);
    await drawFrames();
    expect(await isChecked('free')).toBe(true);
    server.order({ type: 'control', what: 'hear', value: 'pull' });
    await expect.poll(() => settings).toBe(2);
    await drawFrames();
    expect(await isChecked('pull')).toBe(true);
  });
});
