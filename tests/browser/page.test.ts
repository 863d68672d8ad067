import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import WebSocket from 'ws';
import { launch, type PageWatch, watchPage } from './chromium.js';
import { ScriptedServer } from './scripted-server.js';
import { ScriptedSession } from './scripted-session.js';

const PAGE = fileURLToPath(new URL('../../dist/page', import.meta.url));
const AXE = readFileSync(fileURLToPath(import.meta.resolve('axe-core/axe.min.js')), 'utf8');
/** One pass of the warm-up: 20 quarters at 80 a minute. */
const PASS_MS = 15_000;

let browser: Browser;
let server: ScriptedServer;
let page: Page;
let watch: PageWatch;

beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser?.close());

beforeEach(async () => {
  server = new ScriptedServer(new ScriptedSession(), PAGE);
  await server.start();
  page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
  page.setDefaultTimeout(8000);
  watch = watchPage(page);
});
afterEach(async () => {
  await page?.close();
  await server?.stop();
});

const open = async (url = server.playerUrl) => {
  await page.goto(url);
  await page.waitForSelector('.segments, .looking-on, .stage, .phone');
};
const text = async (selector: string) => (await page.locator(selector).first().textContent()) ?? '';
const centsOf = async (line: string) =>
  Number((await text(`.line-end.${line}`)).replace(/^\S+ /, '').replace('−', '-'));

describe('the sheet', () => {
  test('opens without a complaint under a strict policy, and asks nobody but its own server', async () => {
    await open();
    await page.waitForTimeout(500);
    expect(watch.complaints).toEqual([]);
    const port = new URL(server.url).host;
    for (const request of watch.requests) expect(new URL(request).host).toBe(port);
    expect(watch.requests.length).toBeGreaterThan(3);
    expect(await text('.empty >> nth=0')).toMatch(/Play something, or start a piece\./);
  });

  test('the token leaves the address bar and survives a reload', async () => {
    await open();
    expect(page.url()).toBe(server.url);
    await page.reload();
    await page.waitForSelector('.segments');
  });

  test('first load is at most 150 kB compressed', () => {
    const files = [
      'index.html',
      'sail.svg',
      ...readdirSync(`${PAGE}/assets`).map((name) => `assets/${name}`),
    ];
    const bytes = files.reduce((sum, file) => sum + gzipSync(readFileSync(`${PAGE}/${file}`)).length, 0);
    expect(bytes).toBeLessThan(150_000);
    expect(bytes).toBeGreaterThan(20_000);
  });
});

describe('playing', () => {
  test('a chord on the computer keys is 4:5:6, and ends when the keys come up', async () => {
    await open();
    for (const key of ['z', 'c', 'b']) await page.keyboard.down(key);
    await expect.poll(() => text('.proportion')).toBe('4:5:6');
    expect(await page.locator('.ladder .name').allTextContents()).toEqual(['C4⁰', 'E4⁻¹', 'G4⁰']);
    expect(await text('.reason')).toMatch(/is a just/);
    for (const key of ['z', 'c', 'b']) await page.keyboard.up(key);
    await expect.poll(() => text('.chord h2')).toBe('Last chord');
    expect(watch.complaints).toEqual([]);
  });

  test('the mouse plays, slides to the next key, and lets go', async () => {
    await open();
    const key = async (number: number) => {
      const box = (await page.locator(`[data-key="${number}"]`).boundingBox())!;
      return [box.x + box.width / 2, box.y + 0.9 * box.height] as const;
    };
    await page.mouse.move(...(await key(60)));
    await page.mouse.down();
    await expect.poll(() => text('.ladder .name')).toBe('C4⁰');
    await page.mouse.move(...(await key(62)), { steps: 4 });
    await expect.poll(() => text('.ladder .name')).toMatch(/^D4/);
    await page.mouse.up();
    await expect.poll(() => text('.chord h2')).toBe('Last chord');
  });

  test('three fingers at once are a chord', async () => {
    await open();
    const points = [];
    for (const key of [60, 64, 67]) {
      const box = (await page.locator(`[data-key="${key}"]`).boundingBox())!;
      points.push({ x: box.x + box.width / 2, y: box.y + 0.9 * box.height, id: key });
    }
    const devtools = await page.context().newCDPSession(page);
    for (let n = 1; n <= 3; n++) {
      await devtools.send('Input.dispatchTouchEvent', {
        type: 'touchStart',
        touchPoints: points.slice(0, n),
      });
    }
    await expect.poll(() => text('.proportion')).toBe('4:5:6');
    // One finger is lifted, then the rest.
    await devtools.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: points.slice(0, 1) });
    await expect.poll(() => page.locator('.ladder .name').allTextContents()).toEqual(['E4⁻¹', 'G4⁰']);
    await devtools.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await expect.poll(() => text('.chord h2')).toBe('Last chord');
  });

  test('arrow keys and space play without a pointer; sustain holds what was let go', async () => {
    await open();
    await page.getByRole('button', { name: 'Sustain' }).click();
    await page.locator('.keys').focus();
    for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowRight');
    await page.keyboard.press(' ');
    await expect.poll(() => page.locator('.ladder .pedalled .name').allTextContents()).toEqual(['E4⁻¹']);
    await page.getByRole('button', { name: 'All notes off' }).click();
    await expect.poll(() => text('.chord h2')).toBe('Last chord');
  });

  test('a MIDI file goes up in parts and arrives whole', async () => {
    await open();
    const buffer = Buffer.alloc(9001, 7);
    await page.setInputFiles('input[type=file]', { name: 'song.mid', mimeType: 'audio/midi', buffer });
    await expect.poll(() => text('.notice-place')).toMatch(/song\.mid has arrived, 9001 bytes/);
    await page.setInputFiles('input[type=file]', {
      name: 'no.mid',
      mimeType: 'audio/midi',
      buffer: Buffer.alloc(0),
    });
    await expect.poll(() => text('.notice-place')).toMatch(/no\.mid is empty/);
  });
});

describe('the drift', () => {
  test('started from the page, free falls a comma a pass, pull comes back, anchored stays', async () => {
    await open();
    await page.getByRole('button', { name: 'Start' }).click();
    await expect.poll(() => page.locator('.ladder .name').count()).toBe(4);
    // Always the same place of the pass: its first chord.
    const free: number[] = [];
    for (let pass = 0; pass < 4; pass++) {
      // However long the look took: on to the first chord of the next pass.
      const { passes, trio } = server.session;
      if (pass > 0) server.skip(passes[0].atMs + pass * PASS_MS + 300 - trio.nowMs);
      const after = ['', 'one pass', 'two passes', 'three passes'][pass];
      await expect
        .poll(() => text('.headline'))
        .toMatch(pass === 0 ? /^Free is at home;/ : ` after ${after};`);
      free.push(await centsOf('free'));
      expect(Math.abs(await centsOf('anchored'))).toBeLessThanOrEqual(8.05);
      expect(Math.abs(await centsOf('pull'))).toBeLessThan(12);
    }
    for (let pass = 1; pass < 4; pass++) expect(free[pass] - free[pass - 1]).toBeCloseTo(-21.5, 0);
    expect(await text('.headline')).toMatch(/^Free is 6[45] c flat after three passes; anchored is/);
    expect(await text('.exact')).toMatch(/−3 syntonic commas, \(80\/81\)³/);
    expect(await page.locator('.entries li').count()).toBeGreaterThan(5);
    expect(await text('.entries')).toMatch(/came back one syntonic comma lower/);
    expect(watch.complaints).toEqual([]);
    await page.getByRole('button', { name: 'Stop' }).click();
    await expect.poll(() => text('.chord h2')).toBe('Last chord');
  });

  test('the strategy switches from the top line and from the settings, and every page shows it', async () => {
    await open();
    const other = await browser.newPage();
    await other.goto(server.url);
    await page.locator('.segments label.pull').click();
    await expect.poll(() => text('.top .sounding')).toMatch(/^pulled home/);
    await expect.poll(() => other.locator('.top .sounding').textContent()).toMatch(/^pulled home/);
    await page.locator('.settings-fold summary').click();
    await page.locator('.settings .choice.free input').check();
    await expect.poll(() => text('.top .sounding')).toBe('free: the pitch may drift');
    await page.getByLabel('Leeway when anchored').fill('5');
    await page.keyboard.press('Enter');
    await page.locator('.settings .choice.anchored input').check();
    await expect.poll(() => text('.top .sounding')).toBe('anchored, leeway 5 c');
    await other.close();
  });

  test('any moment can be read with the arrow keys, and as a table', async () => {
    server.session.start('choir-warm-up');
    server.skip(PASS_MS + 3000);
    await open();
    await page.getByRole('slider', { name: /Moment/ }).focus();
    for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowLeft');
    const reading = await text('.reading');
    expect(reading).toMatch(/^\d+\.\d s ago: free [−+]?\d+\.\d, pull .*, anchored /);
    await page.locator('.fold.table summary').click();
    await page.getByRole('checkbox', { name: 'Read the drift out' }).check();
    await expect.poll(() => text('[aria-live]')).toMatch(/^Free is/);
  });
});

describe('viewers', () => {
  test('without the token one looks on: nothing to play or set, and the server refuses', async () => {
    await open(server.url);
    expect(await page.locator('.segments').count()).toBe(0);
    expect(await text('.looking-on')).toMatch(/looking on/);
    expect(await page.getByRole('button', { name: 'Start' }).count()).toBe(0);
    await page.keyboard.down('z');
    await page.waitForTimeout(300);
    expect(server.session.orders).toEqual([]);
    const answers: string[] = [];
    const socket = new WebSocket(`${server.url.replace('http', 'ws')}feed`);
    socket.on('message', (data) => answers.push(String(data)));
    await new Promise((done) => socket.once('open', done));
    socket.send('{"type":"control","what":"strategy","value":"free"}');
    await expect.poll(() => answers.some((answer) => answer.includes('NO_TOKEN'))).toBe(true);
    socket.close();
    expect(server.session.trio.strategy).toBe('anchored');
  });

  test('touch is lost and found again: the page says so, keeps the sheet, and plays on', async () => {
    await open();
    server.session.start('choir-warm-up');
    await expect.poll(() => page.locator('.ladder .name').count()).toBe(4);
    server.closeFeed();
    await expect.poll(() => text('.link')).toMatch(/^Lost touch with Leeway\. Trying again\./);
    expect(await page.locator('.line-end').count()).toBe(3);
    expect(await page.getByRole('button', { name: 'Stop' }).isDisabled()).toBe(true);
    expect(await page.locator('.looking-on').count()).toBe(0);
    server.openFeed();
    await expect.poll(() => page.locator('.link').count(), { timeout: 8000 }).toBe(0);
    await page.getByRole('button', { name: 'Stop' }).click();
    await expect.poll(() => text('.chord h2')).toBe('Last chord');
  });
});

test('sound is off at first and low; it can be turned on, switched while it plays, and silenced', async () => {
  server.session.start('choir-warm-up');
  await open();
  expect(await page.getByLabel(/^Volume/).count()).toBe(0);
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  expect(Number(await page.getByLabel(/^Volume/).inputValue())).toBeLessThanOrEqual(0.2);
  for (const heard of ['free', 'equal', 'pull', 'as-sounding']) {
    await page.getByLabel('Heard').selectOption(heard);
    await page.waitForTimeout(120);
  }
  for (const voice of ['bowed', 'sung', 'struck']) {
    await page.getByLabel('Voice').selectOption(voice);
    await page.waitForTimeout(120);
  }
  await page.getByRole('button', { name: 'All notes off' }).click();
  await page.getByRole('button', { name: 'Listening' }).click();
  expect(await page.getByLabel(/^Volume/).count()).toBe(0);
  expect(watch.complaints).toEqual([]);
});

test('the page sounds one voice a note and leaves none hanging: not on release, not when touch is lost, not when turned off', async () => {
  await page.addInitScript(() => {
    const live = new Set<OscillatorNode>();
    const { start } = OscillatorNode.prototype;
    OscillatorNode.prototype.start = function (at) {
      live.add(this);
      this.addEventListener('ended', () => live.delete(this));
      start.call(this, at);
    };
    Object.assign(globalThis, { countSounding: () => live.size });
  });
  const sounding = () =>
    page.evaluate(() => (globalThis as unknown as { countSounding: () => number }).countSounding());
  await open();
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  for (const key of ['z', 'c', 'b']) await page.keyboard.down(key);
  await expect.poll(sounding).toBe(3);
  await page.keyboard.up('b');
  await expect.poll(sounding).toBe(2);
  await page.getByLabel('Heard').selectOption('equal');
  await page.waitForTimeout(500);
  expect(await sounding()).toBe(2);
  server.session.start('chapel-suspensions');
  await expect.poll(sounding).toBeGreaterThan(4);
  server.closeFeed();
  await expect.poll(() => text('.link')).toMatch(/^Lost touch/);
  await expect.poll(sounding).toBe(0);
  server.openFeed();
  await expect.poll(sounding, { timeout: 9000 }).toBeGreaterThan(2);
  await page.getByRole('button', { name: 'Listening' }).click();
  await expect.poll(sounding).toBe(0);
  expect(watch.complaints.filter((complaint) => !complaint.includes('WebSocket'))).toEqual([]);
});

test('pictures and table can be taken away', async () => {
  server.session.start('choir-warm-up');
  server.skip(PASS_MS);
  await open();
  await page.locator('.fold.save summary').click();
  const save = async (name: string) => {
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name }).click(),
    ]);
    return { file: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
  };
  const course = await save('Course as SVG');
  expect(course.file).toMatch(/^leeway-course-.*\.svg$/);
  expect(String(course.bytes)).toMatch(/free −?\d/);
  expect(String((await save('Lattice as SVG')).bytes)).toMatch(/<svg[\s\S]*C⁰/);
  for (const what of ['Course', 'Lattice']) {
    const { bytes } = await save(`${what} as PNG`);
    expect([...bytes.subarray(1, 4)]).toEqual([0x50, 0x4e, 0x47]);
    expect(bytes.length).toBeGreaterThan(10_000);
  }
  // Chords are kept from when the page came on; one is struck every three seconds.
  let table = '';
  for (let tries = 0; tries < 20 && !(table.includes(',chord,') && table.includes(',return,')); tries++) {
    await page.waitForTimeout(1000);
    table = String((await save('Session as CSV')).bytes);
  }
  expect(table).toMatch(/^seconds,what/);
  expect(table).toContain(',chord,');
  expect(table).toContain(',return,');
  expect(watch.complaints).toEqual([]);
});

describe('everyone', () => {
  test.each([
    ['the sheet by day', 1280, 720, 'light', ''],
    ['the sheet by night', 1280, 720, 'dark', ''],
    ['the stage', 1920, 1080, 'dark', '#stage'],
    ['a phone', 390, 844, 'light', ''],
    ['a phone by night', 390, 844, 'dark', ''],
  ] as const)(
    '%s has no serious fault that axe can find',
    async (_what, width, height, colorScheme, hash) => {
      server.session.start('choir-warm-up');
      server.skip(PASS_MS);
      await page.setViewportSize({ width, height });
      await page.emulateMedia({ colorScheme });
      await open(hash === '' ? server.playerUrl : `${server.url}#stage&token=${server.token}`);
      await page.waitForSelector('.ladder svg .name');
      // Run in the page's own world: a strict policy lets no script tag in.
      await page.evaluate(AXE);
      const found = await page.evaluate(async () => {
        const { axe } = globalThis as unknown as {
          axe: {
            run: () => Promise<{
              passes: unknown[];
              violations: { id: string; impact: string; nodes: { html: string }[] }[];
            }>;
          };
        };
        const { passes, violations } = await axe.run();
        const faults = violations.map(
          ({ id, impact, nodes }) =>
            `${impact} ${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`,
        );
        return { faults, passed: passes.length };
      });
      // It did look.
      expect(found.passed).toBeGreaterThan(10);
      expect(found.faults.filter((fault) => /^(serious|critical)/.test(fault))).toEqual([]);
    },
  );

  test('nothing is wider than a phone, on any tab, and every target is a fingertip high', async () => {
    server.session.start('choir-warm-up');
    await page.setViewportSize({ width: 390, height: 844 });
    await page.goto(server.playerUrl);
    await page.waitForSelector('.phone nav');
    for (const tab of ['Course', 'Lattice', 'Ledger', 'Pieces', 'Settings']) {
      await page.locator('nav button', { hasText: tab }).click();
      const [wide, small] = await page.evaluate(() => [
        document.documentElement.scrollWidth,
        [...document.querySelectorAll('button, select, summary')].filter(
          (one) => one.getBoundingClientRect().height < 44,
        ).length,
      ]);
      expect(wide).toBeLessThanOrEqual(390);
      expect(small).toBe(0);
    }
  });

  test('with reduced motion the chart is drawn about once a second', async () => {
    server.session.start('choir-warm-up');
    await page.emulateMedia({ reducedMotion: 'reduce' });
    await open();
    const drawn = await page.evaluate(async () => {
      let count = 0;
      const { clearRect } = CanvasRenderingContext2D.prototype;
      CanvasRenderingContext2D.prototype.clearRect = function (...args) {
        count++;
        return clearRect.apply(this, args);
      };
      await new Promise((done) => setTimeout(done, 3200));
      return count;
    });
    expect(drawn).toBeGreaterThanOrEqual(2);
    expect(drawn).toBeLessThanOrEqual(5);
  });
});
