import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { PASS_MS, usePageStage } from './page-stage.js';

const stage = usePageStage();

test('in a pump started from the page, free falls a comma a pass, pull comes back, anchored stays', async () => {
  const { page, server } = stage;
  await stage.open();
  await page.getByRole('button', { name: 'Play', exact: true }).click();
  await expect.poll(() => page.locator('.ladder .name').count()).toBe(4);
  // However long the look takes: the music waits, and is looked at in its first chord.
  server.stopClock();
  const { passes, trio } = server.session;
  const startMs = passes[0].atMs;
  await stage.hear('free');
  for (let pass = 0; pass < 4; pass++) {
    if (pass > 0) server.skip(startMs + pass * PASS_MS + 300 - trio.nowMs);
    const words = pass === 0 ? '' : `After ${pass} ${pass === 1 ? 'pass' : 'passes'} free was`;
    await expect.poll(() => stage.text('.headline')).toContain(words);
    await expect.poll(() => stage.centsOf('free')).toBeCloseTo(-21.506 * pass, 1);
    expect(Math.abs(await stage.centsOf('anchored'))).toBeLessThanOrEqual(10.05);
    expect(Math.abs(await stage.centsOf('pull'))).toBeLessThan(12);
  }
  expect(await stage.text('.headline')).toBe('After 3 passes free was 64.5 cents low.');
  expect(await stage.text('.exact')).toBe('The chords moved 3 syntonic commas lower: 64.5 cents.');
  expect(await stage.text('.reading')).toMatch(/^G came back a comma low: it was tied to D\./);
  expect(await page.locator('.entries li').count()).toBeGreaterThan(3);
  expect(await stage.text('.entries')).toMatch(/came back one syntonic comma lower/);
  expect(stage.watch.complaints).toEqual([]);
  await page.getByRole('button', { name: 'Stop' }).click();
  await expect.poll(() => stage.isSilent()).toBe(true);
});

test('any moment of the drift chart can be read with the arrow keys, and as a table', async () => {
  const { page, server } = stage;
  server.session.start('choir-warm-up');
  server.skip(PASS_MS + 3000);
  await stage.open();
  await page.getByRole('slider', { name: /Moment/ }).focus();
  for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowLeft');
  await expect
    .poll(() => stage.text('.reading'))
    .toMatch(/^\d+ s ago: free [−+]?\d+\.\d, pull .*, anchored |^[A-G] came back/);
  await page.locator('.fold.table summary').click();
  await page.getByRole('checkbox', { name: 'Read the drift out' }).check();
  await expect
    .poll(() => page.locator('.fold.table [aria-live]').textContent())
    .toMatch(/^anchored: The chords/);
});

test('pictures and tables of the drift can be saved', async () => {
  const { page, server } = stage;
  server.session.start('choir-warm-up');
  server.skip(PASS_MS);
  await stage.open();
  await page.locator('.fold.save summary').click();
  const save = async (name: string) => {
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name }).click(),
    ]);
    return { file: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
  };
  const curve = await save('Drift over time as SVG');
  expect(curve.file).toMatch(/^leeway-drift-.*\.svg$/);
  expect(String(curve.bytes)).toMatch(/free −?\d/);
  expect(String(curve.bytes)).toMatch(
    /Drift over time\. Warm-up .*pass \d\. Heard: anchored\. Leeway, \d{4}-/,
  );
  expect(String((await save('Lattice as SVG')).bytes)).toMatch(/<svg[\s\S]*C⁰/);
  for (const what of ['Drift over time', 'Chord', 'Lattice']) {
    const { bytes } = await save(`${what} as PNG`);
    expect([...bytes.subarray(1, 4)]).toEqual([0x50, 0x4e, 0x47]);
    expect(bytes.length).toBeGreaterThan(10_000);
  }
  // A chord is struck every three seconds, and each pass something returns.
  const table = async () => String((await save('Session as CSV')).bytes);
  await expect.poll(table, { timeout: 60_000, interval: 1000 }).toMatch(/^seconds,what[\s\S]*,chord,/);
  expect(await table()).toContain(',return,');
  expect(stage.watch.complaints).toEqual([]);
});
