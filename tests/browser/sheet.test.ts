import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { runCli } from '../support/run-cli.js';
import { findFaults } from './axe.js';
import { launch, type PageWatch, watchPage } from './chromium.js';

/** The lecture sheets that `leeway explain --sheet` writes, opened from the disk and printed as a teacher would. */
let folder: string;
let browser: Browser;
let page: Page;
let watch: PageWatch;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'leeway-sheet-'));
  const pump = join(folder, 'pump.mid');
  expect((await runCli(['pump', 'I vi ii V', '-o', pump, '--passes', '1'])).code).toBe(0);
  await writeSheet(pump, 'pump.html');
  await writeSheet(pump, 'pump.svg');
  await writeSheet('configs/demo/choir-warm-up.mid', 'long.html');
  const sevenths = ['--limit', '7', '--strategy', 'temper', '--from', '1', '--to', '8'];
  await writeSheet('configs/demo/organ-sevenths.mid', 'sevenths.svg', sevenths);
  await writeSheet('configs/demo/chapel-suspensions.mid', 'chapel.html', ['--strategy', 'anchored']);
  const portrait = ['--strategy', 'free', '--portrait'];
  await writeSheet(pump, 'portrait.html', portrait);
  await writeSheet(pump, 'portrait-letter.html', [...portrait, '--paper', 'letter']);
  await writeSheet('configs/demo/choir-warm-up.mid', 'portrait-long.html', portrait);
  browser = await launch();
});
afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});
afterEach(() => page?.close());

async function writeSheet(input: string, name: string, how = ['--strategy', 'free']): Promise<void> {
  const { code, err } = await runCli(['explain', input, ...how, '--sheet', join(folder, name)]);
  expect([code, err]).toEqual([0, '']);
}

async function open(name: string): Promise<void> {
  page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  watch = watchPage(page);
  await page.goto(pathToFileURL(join(folder, name)).href);
}

/** Words that stand on each other, as this browser's own font draws them. */
function findMet(): Promise<string[]> {
  return page.evaluate(() =>
    [...document.querySelectorAll('svg')].flatMap((svg) => {
      const texts = [...svg.querySelectorAll('text')].map((text) => ({
        words: text.textContent,
        box: text.getBBox(),
      }));
      return texts.flatMap(({ words, box: a }, i) =>
        texts
          .slice(i + 1)
          // A line box is higher than its letters.
          .filter(
            ({ box: b }) =>
              a.x + 0.5 < b.x + b.width &&
              b.x + 0.5 < a.x + a.width &&
              a.y + 0.25 * a.height < b.y + 0.75 * b.height &&
              b.y + 0.25 * b.height < a.y + 0.75 * a.height,
          )
          .map((other) => `${words} on ${other.words}`),
      );
    }),
  );
}

/** How many sheets of paper it takes, as the PDF itself says. */
async function countPages(options: { landscape?: boolean } = {}): Promise<number> {
  const pdf = (await page.pdf({ preferCSSPageSize: true, ...options })).toString('latin1');
  return pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}

const SHEETS = [
  'pump.html',
  'long.html',
  'chapel.html',
  'pump.svg',
  'sevenths.svg',
  'portrait.html',
  'portrait-letter.html',
  'portrait-long.html',
];
describe.each(SHEETS)('a drawn sheet %s', (name) => {
  test('loads without requests and errors, and none of its words overlap', async () => {
    await open(name);
    expect(watch.requests).toEqual([pathToFileURL(join(folder, name)).href]);
    expect(watch.complaints).toEqual([]);
    expect(await page.evaluate(() => document.querySelectorAll('text').length)).toBeGreaterThan(60);
    expect(await findMet()).toEqual([]);
  });
});

describe('the page of a sheet', () => {
  test('has no serious fault that axe can find, with its table open', async () => {
    await open('pump.html');
    await page.locator('summary').click();
    expect(await page.locator('table tbody').count()).toBe(5);
    const { faults, passed } = await findFaults(page);
    expect(passed).toBeGreaterThan(10);
    expect(faults.filter((fault) => /^(serious|critical)/.test(fault))).toEqual([]);
  });

  test.each([
    // ISO 216: A4 is 210 × 297 mm, 595.3 × 841.9 points. US letter is 8.5 × 11 inches of 72 points.
    ['of A4, lying', 'pump.html', [842, 595]],
    ['of A4, portrait', 'portrait.html', [595, 842]],
    ['of letter paper, portrait', 'portrait-letter.html', [612, 792]],
  ])('prints a short passage on one sheet %s', async (_what, name, size) => {
    await open(name);
    expect(await countPages()).toBe(1);
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    const [width, height] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)?.slice(1).map(Number) ?? [];
    expect([Math.round(width), Math.round(height)]).toEqual(size);
  });

  test.each(['portrait.html', 'portrait-letter.html', 'portrait-long.html'])(
    'prints the sheet %s within its paper',
    async (name) => {
      await open(name);
      await page.emulateMedia({ media: 'print' });
      // What the margins leave of the narrower paper, at 96 pixels an inch.
      await page.setViewportSize({ width: Math.floor((190 / 25.4) * 96), height: 1000 });
      const right = await page
        .locator('svg, p, li')
        .evaluateAll((all) => Math.max(...all.map((one) => one.getBoundingClientRect().right)));
      expect(right).toBeLessThanOrEqual(Math.floor((190 / 25.4) * 96));
    },
  );

  test('prints a long passage on several sheets, and cuts no system in two', async () => {
    await open('long.html');
    expect(await countPages()).toBeGreaterThan(3);
    await page.emulateMedia({ media: 'print' });
    const breaks = await page
      .locator('figure')
      .evaluateAll((figures) => figures.map((figure) => getComputedStyle(figure).breakInside));
    expect(new Set(breaks)).toEqual(new Set(['avoid']));
  });

  test('says everything without colour', async () => {
    await open('chapel.html');
    const colours = await page.evaluate(() => {
      const own = [...document.querySelectorAll('svg *')].flatMap((one) => [
        one.getAttribute('fill'),
        one.getAttribute('stroke'),
      ]);
      return [...new Set(own)].flatMap((colour) => (colour?.startsWith('#') ? [colour] : []));
    });
    expect(colours.length).toBeGreaterThan(2);
    for (const colour of colours) {
      const [red, green, blue] = [1, 3, 5].map((at) => colour.slice(at, at + 2));
      expect([green, blue]).toEqual([red, red]);
    }
  });

  test('is no wider than a phone', async () => {
    await open('pump.html');
    await page.setViewportSize({ width: 390, height: 844 });
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
  });
});
