import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { PASS_MS, usePageStage } from './page-stage.js';

const stage = usePageStage();

test('in a pump started from the page, free falls a comma a pass, pull comes back, anchored stays', async () => {
  const { page, server } = stage;
  await stage.open();
  await page.getByRole('button', { name: 'Start' }).click();
  await expect.poll(() => page.locator('.ladder .name').count()).toBe(4);
  // However long the look takes: the music waits, and is looked at in its first chord.
  server.stopClock();
  const { passes, trio } = server.session;
  const startMs = passes[0].atMs;
  const free: number[] = [];
  for (const [pass, words] of ['', ' after 1 pass', ' after 2 passes', ' after 3 passes'].entries()) {
    if (pass > 0) server.skip(startMs + pass * PASS_MS + 300 - trio.nowMs);
    await expect.poll(() => stage.text('.headline')).toMatch(pass === 0 ? /^Free is at home;/ : `${words};`);
    free.push(await stage.centsOf('free'));
    expect(Math.abs(await stage.centsOf('anchored'))).toBeLessThanOrEqual(8.05);
    expect(Math.abs(await stage.centsOf('pull'))).toBeLessThan(12);
  }
  for (let pass = 1; pass < 4; pass++) expect(free[pass] - free[pass - 1]).toBeCloseTo(-21.5, 0);
  expect(await stage.text('.headline')).toMatch(
    /^Free is 6[45]\.\d c below home after 3 passes; anchored is/,
  );
  expect(await stage.text('.exact')).toMatch(/\(80\/81\)³, −3 syntonic commas/);
  expect(await page.locator('.entries li').count()).toBeGreaterThan(5);
  expect(await stage.text('.entries')).toMatch(/came back one syntonic comma lower/);
  expect(stage.watch.complaints).toEqual([]);
  await page.getByRole('button', { name: 'Stop' }).click();
  await expect.poll(() => stage.text('.chord h2')).toBe('Last chord');
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
    .toMatch(/^\d+\.\d s ago: free [−+]?\d+\.\d c, pull .*, anchored /);
  await page.locator('.fold.table summary').click();
  await page.getByRole('checkbox', { name: 'Read the drift out' }).check();
  await expect.poll(() => stage.text('[aria-live]')).toMatch(/^Free is/);
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
  const curve = await save('Drift curve as SVG');
  expect(curve.file).toMatch(/^leeway-drift-curve-.*\.svg$/);
  expect(String(curve.bytes)).toMatch(/free −?\d/);
  expect(String((await save('Lattice as SVG')).bytes)).toMatch(/<svg[\s\S]*C⁰/);
  for (const what of ['Drift curve', 'Lattice']) {
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
