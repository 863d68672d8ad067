import { expect, test } from 'vitest';
import { usePageStage } from './page-stage.js';

const stage = usePageStage();

/** The middle of a key's lower part. */
async function placeOf(key: number): Promise<{ x: number; y: number }> {
  const box = await stage.page.locator(`[data-key="${key}"]`).boundingBox();
  if (box === null) throw new Error(`key ${key} is not on the sheet`);
  return { x: box.x + box.width / 2, y: box.y + 0.9 * box.height };
}

test('a chord on the computer keyboard is 4:5:6, and ends when the keys are released', async () => {
  const { page } = stage;
  await stage.open();
  for (const key of ['z', 'c', 'b']) await page.keyboard.down(key);
  await expect.poll(() => stage.text('.proportion')).toBe('4:5:6');
  expect(await stage.names()).toEqual(['C4⁰', 'E4⁻¹', 'G4⁰']);
  // The reasons are told when the chord has settled.
  await expect.poll(() => stage.text('.reason')).toMatch(/is a just/);
  for (const key of ['z', 'c', 'b']) await page.keyboard.up(key);
  await expect.poll(() => stage.isSilent()).toBe(true);
  expect(stage.watch.complaints).toEqual([]);
});

test('the mouse plays a key, slides to the next one, and releases it', async () => {
  const { page } = stage;
  await stage.open();
  const [c, d] = [await placeOf(60), await placeOf(62)];
  await page.mouse.move(c.x, c.y);
  await page.mouse.down();
  await expect.poll(() => stage.names()).toEqual(['C4⁰']);
  await page.mouse.move(d.x, d.y, { steps: 4 });
  await expect.poll(() => stage.text('.ladder .name')).toMatch(/^D4/);
  await page.mouse.up();
  await expect.poll(() => stage.isSilent()).toBe(true);
});

test("three fingers on the page's keys play a chord", async () => {
  const { page } = stage;
  await stage.open();
  const touchPoints: { x: number; y: number; id: number }[] = [];
  for (const key of [60, 64, 67]) touchPoints.push({ ...(await placeOf(key)), id: key });
  const devtools = await page.context().newCDPSession(page);
  for (let n = 1; n <= 3; n++)
    await devtools.send('Input.dispatchTouchEvent', {
      type: 'touchStart',
      touchPoints: touchPoints.slice(0, n),
    });
  await expect.poll(() => stage.text('.proportion')).toBe('4:5:6');
  // One finger is lifted, then the rest.
  await devtools.send('Input.dispatchTouchEvent', {
    type: 'touchEnd',
    touchPoints: touchPoints.slice(0, 1),
  });
  await expect.poll(() => stage.names()).toEqual(['E4⁻¹', 'G4⁰']);
  await devtools.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await expect.poll(() => stage.isSilent()).toBe(true);
});

test('arrow keys and space play without a pointer, and sustain holds what is released', async () => {
  const { page } = stage;
  await stage.open();
  await page.getByRole('button', { name: 'Sustain' }).click();
  await page.locator('.keys').focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowRight');
  await page.keyboard.press(' ');
  await expect.poll(() => page.locator('.ladder .pedalled .name').allTextContents()).toEqual(['E4⁻¹']);
  await page.getByRole('button', { name: 'All notes off' }).click();
  await expect.poll(() => stage.isSilent()).toBe(true);
});

test('a MIDI file is uploaded in parts and arrives whole; an empty one is not sent', async () => {
  const { page } = stage;
  await stage.open();
  const choose = (name: string, bytes: number) =>
    page.setInputFiles('input[type=file]', {
      name,
      mimeType: 'audio/midi',
      buffer: Buffer.alloc(bytes, 7),
    });
  await choose('song.mid', 9001);
  await expect.poll(() => stage.text('.notice-place')).toMatch(/song\.mid has arrived, 9001 bytes/);
  await choose('no.mid', 0);
  await expect.poll(() => stage.text('.notice-place')).toMatch(/no\.mid is empty/);
});
