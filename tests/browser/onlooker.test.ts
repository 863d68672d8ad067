import { expect, test } from 'vitest';
import { useRealStage } from './real-stage.js';
import { readVoices, watchVoices } from './voices.js';

// The room may look on.
const stage = useRealStage(['live', '--page', '--listen', '0.0.0.0']);
const FIRST_MS = 300;

test('an onlooker hears any tuning by headphones: the voices cross over, and the room goes on as it was', async () => {
  await watchVoices(stage.page);
  await stage.load(stage.leeway.viewerUrl);
  const { notes } = await stage.standAt(3, FIRST_MS);
  await stage.page.getByRole('button', { name: 'Turn the sound on' }).click();
  await expect.poll(async () => (await readVoices(stage.page)).sounding).toBe(notes.length);
  for (const tuning of ['free', 'equal', 'temper', 'anchored'] as const) {
    const { started } = await readVoices(stage.page);
    await stage.hear(tuning);
    // Each note that is elsewhere in that tuning has a new voice, and the old ones end.
    await expect.poll(async () => (await readVoices(stage.page)).started).toBeGreaterThan(started);
    await expect.poll(async () => (await readVoices(stage.page)).sounding).toBe(notes.length);
    await stage.shows('.drift .caption', `Drift of ${tuning === 'equal' ? '12 equal' : tuning}`);
    const { atMs } = stage.frame;
    const later = await stage.feed.sees('a later frame', (frame) => frame.atMs > atMs + 100);
    expect(later.sounding).toBe('anchored');
    expect(later.notes.map(({ id, fromEqual }) => [id, fromEqual])).toEqual(
      notes.map(({ id, fromEqual }) => [id, fromEqual]),
    );
  }
});

test('an onlooker follows the room again at the press of a button', async () => {
  await stage.load(stage.leeway.viewerUrl);
  await stage.shows('.room', 'So does the room.');
  await stage.hear('free');
  await stage.shows('.room', 'The room hears anchored.');
  stage.feed.send({ type: 'control', what: 'hear', value: 'temper' });
  await stage.shows('.room', 'The room hears temper.');
  await stage.page.getByRole('button', { name: 'Follow the room' }).click();
  await expect.poll(() => stage.heard()).toContain('temper');
  await stage.shows('.room', 'So does the room.');
  stage.feed.send({ type: 'control', what: 'hear', value: 'pull' });
  await expect.poll(() => stage.heard()).toContain('pull');
});

test('an onlooker has no control that does nothing, and no key of theirs changes anything', async () => {
  const { page } = stage;
  await stage.load(stage.leeway.viewerUrl);
  await stage.shows('.purpose', /^You look on/);
  await stage.standAt(2, FIRST_MS);
  expect(await page.locator('button:disabled, select:disabled, input:disabled').count()).toBe(0);
  const before = JSON.stringify([stage.frame.playing, stage.frame.sounding, stage.frame.stage]);
  for (const key of ['Space', 'ArrowRight', 'Home', 'PageDown', 'l', '[', ']', 'Shift+Digit2', 'a', 'z'])
    await page.keyboard.press(key);
  const { atMs } = stage.frame;
  const later = await stage.feed.sees('a later frame', (frame) => frame.atMs > atMs + 300);
  expect(JSON.stringify([later.playing, later.sounding, later.stage])).toBe(before);
  // Keys that are one's own affair do what they say.
  expect(await stage.heard()).toContain('free');
  await page.keyboard.press('f');
  await page.waitForSelector('main.stage');
  stage.expectCalm();
});

test('the address for onlookers is shown in words and as a QR code, and leads to a page that looks on', async () => {
  await stage.open();
  const told = await stage.leeway.program.says('To look on from another device');
  await stage.page.locator('.fold.onlookers summary').click();
  await expect.poll(() => stage.page.locator('.fold.onlookers .address').count()).toBe(1);
  const address = await stage.text('.fold.onlookers .address');
  expect(told).toContain(address);
  expect(address).not.toContain('token');
  const code = stage.page.getByRole('img', { name: `QR code of ${address}` });
  const { width, height } = (await code.boundingBox())!;
  // Large enough for a camera, square, and dark on light by day and by night.
  expect(Math.min(width, height)).toBeGreaterThan(120);
  expect(Math.abs(width - height)).toBeLessThan(1);
  const other = await stage.openOther(address);
  await expect.poll(() => other.text('.purpose')).toMatch(/^You look on/);
});
