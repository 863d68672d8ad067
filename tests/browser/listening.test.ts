import { expect, test } from 'vitest';
import { usePageStage } from './page-stage.js';
import { readVoices, watchVoices } from './voices.js';

const stage = usePageStage();

const sounding = async () => (await readVoices(stage.page)).sounding;

test("the page's sound is off at first, then low; it can be switched while it plays, and silenced", async () => {
  const { page, server } = stage;
  await watchVoices(page);
  server.session.start('choir-warm-up');
  await stage.open();
  expect(await page.getByLabel(/^Volume/).count()).toBe(0);
  expect(await readVoices(page)).toEqual({ started: 0, sounding: 0 });
  await page.getByRole('button', { name: 'Turn the sound on' }).click();
  expect(Number(await page.getByLabel(/^Volume/).inputValue())).toBeLessThanOrEqual(0.5);
  await expect.poll(sounding).toBe(4);
  const hears = async (change: () => Promise<unknown>) => {
    const { started } = await readVoices(page);
    await change();
    await expect.poll(async () => (await readVoices(page)).started).toBeGreaterThan(started);
    await expect.poll(sounding).toBe(4);
  };
  for (const tuning of ['free', 'equal', 'pull', 'anchored'] as const) await hears(() => stage.hear(tuning));
  for (const voice of ['bowed', 'sung', 'struck'])
    await hears(() => page.getByLabel('Voice').selectOption(voice));
  server.stopClock();
  await page.getByRole('button', { name: 'All notes off' }).click();
  await expect.poll(sounding).toBe(0);
  await page.getByRole('button', { name: 'Sound is on' }).click();
  await expect.poll(() => page.getByLabel(/^Volume/).count()).toBe(0);
  expect(stage.watch.complaints).toEqual([]);
});

test('the page sounds one voice a note, and none is left after release, a lost link or turning off', async () => {
  const { page, server } = stage;
  await watchVoices(page);
  await stage.open();
  await page.getByRole('button', { name: 'Turn the sound on' }).click();
  // Struck at one moment, however slow the machine: then no note of the chord is where 12 equal has it.
  server.stopClock();
  for (const key of ['z', 'c', 'b']) await page.keyboard.down(key);
  await expect.poll(() => readVoices(page)).toEqual({ started: 3, sounding: 3 });
  await page.keyboard.up('b');
  await expect.poll(sounding).toBe(2);
  // C stands in 12 equal already; E goes over to another voice.
  await stage.hear('equal');
  await expect.poll(() => readVoices(page)).toEqual({ started: 5, sounding: 2 });
  server.startClock();
  server.session.start('chapel-suspensions');
  await expect.poll(sounding).toBeGreaterThan(4);
  server.closeFeed();
  await expect.poll(() => stage.text('.link')).toMatch(/^Lost touch/);
  await expect.poll(sounding).toBe(0);
  server.openFeed();
  await expect.poll(sounding).toBeGreaterThan(2);
  await page.getByRole('button', { name: 'Sound is on' }).click();
  await expect.poll(sounding).toBe(0);
  expect(stage.watch.complaints.filter((complaint) => !complaint.includes('WebSocket'))).toEqual([]);
});
