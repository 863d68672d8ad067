import { expect, test } from 'vitest';
import { VIEWS } from '../../src/core/protocol/index.js';
import { useRealStage } from './real-stage.js';

const stage = useRealStage();
const FIRST_MS = 300;

test('the lecturer chooses what every stage shows', async () => {
  await stage.open();
  await stage.standAt(2, FIRST_MS);
  const hall = await stage.openOther(`${stage.leeway.viewerUrl}#stage`);
  await stage.page.locator('.fold.stage-choice summary').click();
  const choice = stage.page.getByLabel('It shows');
  for (const view of [...VIEWS].reverse()) {
    await choice.selectOption(view);
    await expect.poll(() => hall.page.locator('main.stage').getAttribute('class')).toBe(`stage view-${view}`);
    const parts = () =>
      hall.page.locator('[data-part]').evaluateAll((all) => all.map((one) => one.getAttribute('data-part')));
    await expect.poll(parts).toEqual(view === 'all' ? ['figure', 'curve', 'chord'] : [view]);
    expect(await choice.inputValue()).toBe(view);
  }
  stage.expectCalm();
});

test('what the lecturer points at is ringed on the stage, at the same place of that part, until the pointing ends', async () => {
  await stage.open();
  await stage.standAt(2, FIRST_MS);
  const hall = await stage.openOther(`${stage.leeway.viewerUrl}#stage`, {
    viewport: { width: 1920, height: 1080 },
  });
  await hall.page.waitForSelector('[data-part="curve"]');
  expect(await hall.page.locator('.pointer-ring').isHidden()).toBe(true);
  await stage.page.keyboard.press('a');
  for (const part of ['curve', 'chord', 'figure'] as const) {
    const own = (await stage.page.locator(`[data-part="${part}"]`).boundingBox())!;
    await stage.page.mouse.move(own.x + 0.2 * own.width, own.y + 0.6 * own.height);
    // The page sends a place no more often than every 50 ms.
    await expect
      .poll(async () => {
        await stage.page.mouse.move(own.x + 0.25 * own.width, own.y + 0.75 * own.height);
        await stage.page.mouse.move(own.x + 0.25 * own.width + 0.4, own.y + 0.75 * own.height);
        const there = (await hall.page.locator(`[data-part="${part}"]`).boundingBox())!;
        const ring = await hall.page.locator('.pointer-ring').boundingBox();
        if (ring === null) return [1, 1];
        return [
          (ring.x + ring.width / 2 - there.x) / there.width - 0.25,
          (ring.y + ring.height / 2 - there.y) / there.height - 0.75,
        ].map((off) => Math.round(Math.abs(off) * 10));
      })
      .toEqual([0, 0]);
    expect(stage.frame.stage.pointer?.at).toBe(part);
  }
  await stage.page.keyboard.press('a');
  await stage.feed.sees('no pointer', (frame) => frame.stage.pointer === null);
  await expect.poll(() => hall.page.locator('.pointer-ring').isHidden()).toBe(true);
});

test('Escape leaves a stage that was opened directly for the sheet, and stays on the page', async () => {
  const hall = await stage.openOther(stage.leeway.playerUrl.replace('#', '#stage&'));
  await hall.page.waitForSelector('main.stage');
  // Neither the address nor the history shows the token.
  expect(new URL(hall.page.url()).hash).toBe('#stage');
  await hall.page.keyboard.press('Escape');
  await hall.page.waitForSelector('.hear-row');
  expect(hall.page.url()).toMatch(stage.leeway.viewerUrl);
  await expect.poll(() => hall.page.locator('.play').isEnabled()).toBe(true);
  await hall.page.keyboard.press('f');
  await hall.page.waitForSelector('main.stage');
  await hall.page.getByRole('button', { name: 'Leave (Esc)' }).click();
  await hall.page.waitForSelector('.hear-row');
});

test('the stage is driven from its own page by the same keys, and shows what is heard', async () => {
  const hall = await stage.openOther(stage.leeway.playerUrl.replace('#', '#stage&'));
  await stage.feed.sees('the viewer', ({ counters }) => counters.viewers >= 2);
  await expect
    .poll(async () => {
      if (stage.frame.playing === null) await hall.page.keyboard.press('Space');
      return stage.frame.playing?.isPaused;
    })
    .toBe(false);
  await hall.page.keyboard.press('Shift+Digit2');
  await expect.poll(() => hall.text('.stage-head .tuning')).toBe('free');
  await expect.poll(() => hall.text('.drift .caption')).toBe('Drift of free');
  expect(stage.frame.sounding).toBe('free');
});
