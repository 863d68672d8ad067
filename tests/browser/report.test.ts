import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import { toArgv } from '../support/argv.js';
import { runCli } from '../support/run-cli.js';
import { findFaults } from './axe.js';
import { launch } from './chromium.js';

/** The page that `leeway compare` writes, opened from the disk as a teacher would. */
let folder: string;
let browser: Browser;
let page: Page;
const requests: string[] = [];
const errors: string[] = [];

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'leeway-report-'));
  const { code, err } = await runCli(toArgv`compare configs/demo/choir-warm-up.mid -o ${folder} --no-sound`);
  expect([code, err]).toEqual([0, '']);
  browser = await launch();
});
afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

beforeEach(async () => {
  await page?.close();
  page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
  requests.length = 0;
  errors.length = 0;
  page.on('request', (request) => requests.push(request.url()));
  page.on('console', (message) => message.type() === 'error' && errors.push(message.text()));
  page.on('pageerror', (error) => errors.push(String(error)));
  // Keeps what the page makes: the volume, the trim of the limiter, then one way a version.
  await page.addInitScript(() => {
    const kept: GainNode[] = [];
    Object.assign(globalThis, { kept });
    const { createGain } = AudioContext.prototype;
    AudioContext.prototype.createGain = function () {
      const node = createGain.call(this);
      kept.push(node);
      return node;
    };
  });
  await page.goto(pathToFileURL(join(folder, 'choir-warm-up.html')).href);
});

/** How loud each version is now. */
const levels = () =>
  page.evaluate(() =>
    (globalThis as unknown as { kept: GainNode[] }).kept
      .slice(2, 8)
      .map((node) => Math.round(node.gain.value * 10) / 10),
  );

test('the page of a comparison plays its versions in step and switches between them without a gap', async () => {
  const at = async () => Number(await page.locator('#place').inputValue());
  await page.getByRole('button', { name: 'Play' }).click();
  await expect.poll(at).toBeGreaterThan(500);
  // Anchored, the default strategy, is heard first.
  await expect.poll(levels).toEqual([0, 0, 0, 1, 0, 0]);
  const before = await at();
  await page.locator('.versions label', { hasText: 'free' }).click();
  await expect.poll(levels).toEqual([0, 1, 0, 0, 0, 0]);
  expect(await at()).toBeGreaterThanOrEqual(before);
  expect(await page.locator('#play').textContent()).toBe('Pause');
  await page.getByRole('button', { name: 'Pause' }).click();
  const stopped = await at();
  await page.locator('#chords tbody tr').nth(10).click();
  expect(await at()).toBeGreaterThan(stopped);
  await expect.poll(() => page.locator('#chords tr[aria-current]').count()).toBe(1);
});

test('the page of a comparison needs no other file', async () => {
  await page.getByRole('button', { name: 'Play' }).click();
  await expect.poll(() => page.locator('#time').textContent()).not.toBe('0:00 of 2:00');
  expect(requests).toHaveLength(1);
  expect(requests[0]).toMatch(/^file:/);
  expect(errors).toEqual([]);
});

test('the page of a comparison has no serious fault that axe can find, and is no wider than a phone', async () => {
  const { faults, passed } = await findFaults(page);
  expect(passed).toBeGreaterThan(10);
  expect(faults.filter((fault) => /^(serious|critical)/.test(fault))).toEqual([]);
  await page.setViewportSize({ width: 390, height: 844 });
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
});
