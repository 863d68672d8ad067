import { readFileSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { parseMidiFile } from '../../src/core/midi/index.js';
import { toPiece } from '../../src/core/score/index.js';
import { FeedClient } from '../support/feed-client.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { launch, type PageWatch, watchPage } from './chromium.js';
import { PageProcess } from './page-process.js';
import { readSights, type SeenChord, toSeenChords, watchSheet } from './seen.js';

/** A whole program on a busy machine: whatever is waited for may take that long. */
const LONG = { timeout: 30_000 };
const COMMA = 21.506;
/** The warm-up has five chords, and so has each of its passes. */
const CHORDS_OF_THE_PUMP = 5;

let browser: Browser;
let leeway: PageProcess;
let page: Page;
let watch: PageWatch;

beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser?.close());

beforeEach(async () => {
  page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
  page.setDefaultTimeout(LONG.timeout);
  watch = watchPage(page);
  await watchSheet(page);
});
afterEach(() => page?.close());

const open = async (url = leeway.playerUrl, its = page) => {
  await its.goto(url);
  await its.waitForSelector('.segments, .looking-on');
};
const text = async (selector: string, its = page) =>
  (await its.locator(selector).first().textContent()) ?? '';
/** Not a word of complaint, and nothing asked of anybody else. */
const expectCalm = () => {
  expect(watch.complaints).toEqual([]);
  expect(watch.requests.length).toBeGreaterThan(3);
  for (const request of watch.requests) expect(new URL(request).host).toBe(leeway.host);
};

describe('leeway live --page', () => {
  beforeAll(async () => {
    leeway = await PageProcess.start(['live', '--page']);
  });
  afterAll(async () => {
    expect(await leeway?.stop()).toBe(0);
  });

  test('sounds a chord on the computer keyboard as 4:5:6, and ends it when the keys are released', async () => {
    await open();
    expect(await text('.ladder .empty')).toBe('Play something, or start a piece.');
    for (const key of ['z', 'c', 'b']) await page.keyboard.down(key);
    await expect.poll(() => text('.proportion'), LONG).toBe('4:5:6');
    expect(await page.locator('.ladder .name').allTextContents()).toEqual(['C4⁰', 'E4⁻¹', 'G4⁰']);
    for (const key of ['z', 'c', 'b']) await page.keyboard.up(key);
    await expect.poll(() => text('.chord h2'), LONG).toBe('Last chord');
    expectCalm();
  });

  test('shows a switched strategy to viewers without the token', async () => {
    await open();
    const other = await browser.newPage();
    await open(leeway.viewerUrl, other);
    for (const [strategy, words] of [
      ['pull', /^pulled at 3 c a second/],
      ['free', /^free: the pitch may drift/],
      ['anchored', /^anchored within 8 c of home/],
    ] as const) {
      await page.locator(`.segments label.${strategy}`).click();
      await expect.poll(() => text('.top .sounding'), LONG).toMatch(words);
      await expect.poll(() => text('.top .sounding', other), LONG).toMatch(words);
    }
    await other.close();
    expectCalm();
  });

  test('offers nothing to play or set without the token, and refuses what is sent all the same', async () => {
    await open(leeway.viewerUrl);
    expect(await text('.looking-on')).toMatch(/looking on/);
    expect(await page.locator('.segments').count()).toBe(0);
    expect(await page.getByRole('button', { name: 'Start' }).count()).toBe(0);
    const socket = await new FeedClient(leeway.feedAddress).isOpen();
    expect(await socket.hello(`${leeway.token.slice(1)}A`)).toBe(false);
    socket
      .send({ type: 'control', what: 'hear', value: 'free' })
      .send({ type: 'play', act: 'on', key: 60, velocity: 80 })
      .send({ type: 'piece', act: 'start', name: 'choir-warm-up', tempo: 1, loop: true });
    await page.keyboard.down('z');
    await expect
      .poll(() => socket.of('refused').map(({ code }) => code), LONG)
      .toEqual(['WRONG_TOKEN', 'NO_TOKEN', 'NO_TOKEN', 'NO_TOKEN']);
    // A player's note comes after all of that, and is the only one there is.
    const player = await new FeedClient(leeway.feedAddress).isOpen();
    expect(await player.hello(leeway.token)).toBe(true);
    player.send({ type: 'play', act: 'on', key: 67, velocity: 80 });
    const frame = await socket.sees('a note', ({ notes }) => notes.length > 0, LONG.timeout);
    expect(frame.notes.map(({ key }) => key)).toEqual([67]);
    expect(frame).toMatchObject({ sounding: 'anchored', playing: null });
    player.vanish();
    socket.vanish();
    await expect.poll(() => text('.chord h2'), LONG).toBe('Last chord');
    expectCalm();
  });
});

describe('the pump on the page', () => {
  beforeAll(async () => {
    leeway = await PageProcess.start(['live', '--page']);
  });
  afterAll(async () => {
    expect(await leeway?.stop()).toBe(0);
  });

  test('falls a comma a pass under free, stays under anchored, and comes back under pull', async () => {
    await open();
    // Twice as fast, so that it doesn't take long; then pull has to be as fast again.
    await page.locator('.settings-fold summary').click();
    const rate = page.locator('.settings .field', { hasText: 'c a second' }).locator('input');
    await rate.fill('6');
    await rate.press('Enter');
    await page.locator('.segments label.pull').click();
    await expect.poll(() => text('.top .sounding'), LONG).toMatch(/^pulled at 6 c a second/);
    await page.locator('.settings-fold summary').click();
    await page.getByLabel('Tempo').fill('2');
    await page.getByRole('button', { name: 'Start' }).click();
    // Every chord of the piece in three passes or more; what the machine was too busy to show comes round again.
    const seen = async () => {
      const chords = toSeenChords(await readSights(page));
      const byLetters = new Map<string, SeenChord[]>();
      for (const chord of chords)
        byLetters.set(chord.letters, [...(byLetters.get(chord.letters) ?? []), chord]);
      const often = [...byLetters.values()].filter((its) => its.length >= 3);
      // Passes in which free was out of sight of home, and pull was back all the same.
      const returns = chords.filter(({ free, pull }) => free < -2 * COMMA + 1 && pull > -3);
      return { often, returns: new Set(returns.map(({ pass }) => pass)).size };
    };
    const isEnough = async () => {
      const { often, returns } = await seen();
      return often.length === CHORDS_OF_THE_PUMP && returns >= 2;
    };
    await expect.poll(isEnough, { timeout: 150_000, interval: 500 }).toBe(true);
    for (const [first, ...later] of (await seen()).often) {
      for (const { pass, free, anchored } of later) {
        expect(free - first.free).toBeCloseTo(-COMMA * (pass - first.pass), 0);
        expect(Math.abs(anchored)).toBeLessThanOrEqual(8.05);
      }
    }
    expect(await text('.headline')).toMatch(/^Free is [\d.]+ c below home after \d+ passes; anchored is/);
    expectCalm();
  }, 240_000);
});

describe('leeway demo', () => {
  const folder = useTemporaryFolder();
  beforeEach(async () => {
    leeway = await PageProcess.start(['demo', '--take', folder()], true);
  });
  afterEach(() => leeway?.stop());

  test('goes on without a missing note when its server dies twice, and the page reconnects', async () => {
    await open();
    for (let deaths = 1; deaths <= 2; deaths++) {
      await page.waitForSelector('.ladder svg .name');
      leeway.program.failThreads();
      await expect.poll(() => countSaid('The page is back.'), LONG).toBe(deaths);
      await expect.poll(() => watch.requests.filter(isFeed).length, LONG).toBeGreaterThan(deaths);
      await expect.poll(() => page.locator('.link').count(), LONG).toBe(0);
    }
    expect(countSaid('The page stopped (a fault on purpose)')).toBe(2);
    // What had been lost is not forgotten, and each pass stands a comma below the one before.
    await page.getByLabel('Tempo').fill('4');
    const falls = async () => {
      const chords = toSeenChords(await readSights(page));
      return chords.filter(({ letters, pass }) => letters === 'CGEC' && pass > 0);
    };
    await expect.poll(async () => (await falls()).length, { timeout: 120_000 }).toBeGreaterThanOrEqual(2);
    const [first, ...later] = await falls();
    // A busy machine may not strike the very first chord as one; home is then set by a part of it.
    expect(Math.abs(first.free + COMMA * first.pass)).toBeLessThan(5);
    for (const { pass, free } of later)
      expect(free - first.free).toBeCloseTo(-COMMA * (pass - first.pass), 0);
    // The token is still the same.
    await page.getByRole('button', { name: 'Stop' }).click();
    await expect.poll(() => text('.chord h2'), LONG).toBe('Last chord');
    expect(await leeway.stop()).toBe(0);
    const played = await readTake(folder());
    const pass = readPiece('choir-warm-up');
    expect(played.length).toBeGreaterThan(pass.length);
    expect(played).toEqual(played.map((_, i) => pass[i % pass.length]));
    // What a browser says of a socket that nobody answers is all there is.
    watch.complaints.splice(
      0,
      Infinity,
      ...watch.complaints.filter((one) => !/^WebSocket connection to/.test(one)),
    );
    expectCalm();
  }, 240_000);
});

/** How often the program has said something that begins like this. */
function countSaid(words: string): number {
  return leeway.program.said.filter((line) => line.startsWith(words)).length;
}

const isFeed = (url: string): boolean => url === `${leeway.feedAddress}/feed`;

/** The messages of a file, in order. */
function toMessages(path: string): string[] {
  const parsed = parseMidiFile(readFileSync(path));
  if (!parsed.ok) throw new Error(parsed.problem.message);
  const { messages } = toPiece(parsed.value.file);
  return Array.from({ length: messages.length / 3 }, (_, i) => messages.subarray(3 * i, 3 * i + 3).join(' '));
}

/** One pass of a built-in piece. */
function readPiece(name: string): string[] {
  return toMessages(fileURLToPath(new URL(`../../configs/demo/${name}.mid`, import.meta.url)));
}

/** What the piece played into the session, as it was recorded. */
async function readTake(folder: string): Promise<string[]> {
  const [take] = await readdir(folder);
  return toMessages(join(folder, take, 'in-1 Piece.mid'));
}
