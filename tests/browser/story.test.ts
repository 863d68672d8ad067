import { fileURLToPath } from 'node:url';
import { beforeAll, expect, test } from 'vitest';
import { readBuiltInPieces } from '../../src/app/live/built-in-pieces.js';
import { readStory } from '../../src/app/story/read-story.js';
import type { Story } from '../../src/app/story/story.js';
import type { PageReader } from './page-reader.js';
import { useRealStage } from './real-stage.js';

const stage = useRealStage();
const DEMO = fileURLToPath(new URL('../../configs/demo', import.meta.url));
let story: Story;

beforeAll(async () => {
  const parsed = await readStory(`${DEMO}/story.toml`, await readBuiltInPieces(DEMO));
  if (!parsed.ok) throw new Error('the story has mistakes');
  story = parsed.story;
});

/** Waits until a page tells a step, the feed has it, and the first tuning of it is heard. */
async function expectStep(step: number, page: PageReader = stage): Promise<void> {
  const { sentence, show, only, hear } = story.steps[step - 1];
  const frame = await stage.feed.sees(`step ${step}`, (one) => one.stage.story?.step === step);
  expect(frame.stage).toMatchObject({ view: show, only, story: { steps: story.steps.length, sentence } });
  await expect
    .poll(() => page.text('.story .step'))
    .toBe(`${story.title}, step ${step} of ${story.steps.length}`);
  expect(await page.text('.story .sentence')).toBe(sentence);
  const [first] = hear;
  await stage.feed.sees(`${first}`, ({ sounding }) => sounding === (first === 'equal' ? null : first));
}

/** Waits until a stage shows a step: its sentence, its view, and where the story is. */
async function expectOnStage(step: number, hall: PageReader): Promise<void> {
  const { sentence, show } = story.steps[step - 1];
  await expect.poll(() => hall.text('.stage-head .sentence')).toBe(sentence);
  await expect.poll(() => hall.page.locator('main.stage').getAttribute('class')).toBe(`stage view-${show}`);
  await expect.poll(() => hall.text('.stage-foot span')).toMatch(`step ${step} of ${story.steps.length}`);
  const parts = await hall.page
    .locator('[data-part]')
    .evaluateAll((all) => all.map((one) => one.getAttribute('data-part')));
  expect(parts).toEqual(show === 'all' ? ['figure', 'curve', 'chord'] : [show]);
}

test('a story is told by keyboard alone, from its first step to its last, and backwards', async () => {
  await stage.open();
  expect(story.steps.length).toBeGreaterThan(4);
  for (let step = 1; step <= story.steps.length; step++) {
    await stage.page.keyboard.press('PageDown');
    await expectStep(step);
  }
  // It stays at its last step.
  await stage.page.keyboard.press('PageDown');
  await stage.page.keyboard.press('PageUp');
  await expectStep(story.steps.length - 1);
  // Each step of which the music was started plays it.
  expect(stage.frame.playing?.name).toBe('choir-warm-up');
  const end = stage.page.getByRole('button', { name: 'End the story' });
  await end.focus();
  await stage.page.keyboard.press('Enter');
  await stage.feed.sees('the end', (frame) => frame.stage.story === null);
  await expect.poll(() => stage.page.locator('.story').count()).toBe(0);
  stage.expectCalm();
});

test('a story is told from a phone, and a stage elsewhere shows each of its steps', async () => {
  const hall = await stage.openOther(`${stage.leeway.viewerUrl}#stage`, {
    viewport: { width: 1920, height: 1080 },
  });
  const phone = await stage.openOther(stage.leeway.playerUrl, {
    viewport: { width: 390, height: 844 },
    hasTouch: true,
  });
  const button = (name: string) => phone.page.getByRole('button', { name, exact: true });
  await phone.page.locator('nav button', { hasText: 'Play' }).tap();
  await button('Tell the story').tap();
  for (let step = 1; step <= story.steps.length; step++) {
    await expectStep(step, phone);
    await expectOnStage(step, hall);
    if (step < story.steps.length) await button('Next').tap();
  }
  expect(await button('Next').isDisabled()).toBe(true);
  await button('Back').tap();
  await expectStep(story.steps.length - 1, phone);
  await expectOnStage(story.steps.length - 1, hall);
  await button('End the story').tap();
  await stage.feed.sees('the end', (frame) => frame.stage.story === null);
  await expect.poll(() => hall.text('.stage-foot span')).not.toContain('step');
  expect(await hall.page.locator('button:not(.leave)').count()).toBe(0);
});

test('a story is told as often as one likes: it begins anew', async () => {
  await stage.open();
  for (let time = 0; time < 2; time++) {
    await stage.page.keyboard.press('PageDown');
    await expectStep(1);
    await stage.page.keyboard.press('PageDown');
    await expectStep(2);
    await stage.page.getByRole('button', { name: 'End the story' }).click();
    await stage.feed.sees('the end', (frame) => frame.stage.story === null);
    await expect.poll(() => stage.page.locator('.story').count()).toBe(0);
  }
});
