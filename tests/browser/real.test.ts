import { readFileSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { parseMidiFile } from '../../src/core/midi/index.js';
import { toPiece } from '../../src/core/score/index.js';
import { FeedClient } from '../support/feed-client.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { PageProcess } from './page-process.js';
import { COMMA, useRealStage } from './real-stage.js';

/** A whole program on a busy machine: whatever is waited for may take that long. */
const LONG = { timeout: 30_000 };
const stage = useRealStage();

describe('leeway live --page', () => {
  test('sounds a chord on the computer keyboard as 4:5:6, and ends it when the keys are released', async () => {
    const { keyboard } = stage.page;
    await stage.open();
    for (const key of ['z', 'c', 'b']) await keyboard.down(key);
    await stage.shows('.proportion', '4:5:6');
    expect(await stage.names()).toEqual(['C4⁰', 'E4⁻¹', 'G4⁰']);
    for (const key of ['z', 'c', 'b']) await keyboard.up(key);
    await expect.poll(() => stage.isSilent(), LONG).toBe(true);
    stage.expectCalm();
  });

  test('shows what is chosen to be heard to viewers without the token', async () => {
    await stage.open();
    const other = await stage.openOther(stage.leeway.viewerUrl);
    for (const [tuning, words] of [
      ['pull', /drawn back slowly, 3 cents a second/],
      ['free', /Nothing is corrected/],
      ['equal', /^Twelve equal semitones/],
      ['anchored', /within 8 cents of home/],
    ] as const) {
      await stage.hear(tuning);
      await stage.shows('.hear-words', words);
      await expect.poll(() => other.text('.hear-words'), LONG).toMatch(words);
      await expect.poll(() => other.heard(), LONG).toContain(tuning);
    }
    stage.expectCalm();
  });

  test('offers nothing to play or set without the token, and refuses what is sent all the same', async () => {
    const { page, leeway } = stage;
    await stage.load(leeway.viewerUrl);
    await stage.shows('.purpose', /^You look on/);
    expect(await page.getByRole('button', { name: 'Play', exact: true }).count()).toBe(0);
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
    await expect.poll(() => stage.isSilent(), LONG).toBe(true);
    stage.expectCalm();
  });
});

describe('leeway demo', () => {
  const folder = useTemporaryFolder();

  test('goes on without a missing note when its server dies twice, and the page reconnects', async () => {
    const leeway = await PageProcess.start(['demo', '--take', folder()], true);
    const { page, watch } = stage;
    const countSaid = (words: string) => leeway.program.said.filter((line) => line.startsWith(words)).length;
    try {
      await stage.load(leeway.playerUrl);
      for (let deaths = 1; deaths <= 2; deaths++) {
        await page.waitForSelector('.ladder svg .name');
        leeway.program.failThreads();
        await expect.poll(() => countSaid('The page is back.'), LONG).toBe(deaths);
        const isFeed = (url: string) => url === `${leeway.feedAddress}/feed`;
        await expect.poll(() => watch.requests.filter(isFeed).length, LONG).toBeGreaterThan(deaths);
        await expect.poll(() => page.locator('.link').count(), LONG).toBe(0);
      }
      expect(countSaid('The page stopped (a fault on purpose)')).toBe(2);
      // The token is still the same: its keys still change the tempo, up to four times.
      await expect
        .poll(async () => {
          await page.keyboard.press(']');
          return stage.text('.tempo output');
        }, LONG)
        .toBe('400 %');
      // What had been lost is not forgotten, and each pass stands a comma below the one before.
      await page.keyboard.press('Shift+Digit2');
      const sentence = /^After (\d+) passes free was ([\d.]+) cents low\.$/;
      await stage.shows('.headline', sentence);
      for (let look = 0; look < 3; look++) {
        const before = await stage.text('.headline');
        await expect.poll(() => stage.text('.headline'), LONG).not.toBe(before);
        const [, passes, cents] = sentence.exec(await stage.text('.headline')) ?? [];
        expect(Number(cents)).toBeCloseTo(Number(passes) * COMMA, 1);
      }
      await page.getByRole('button', { name: 'Stop' }).click();
      await expect.poll(() => stage.isSilent(), LONG).toBe(true);
    } finally {
      expect(await leeway.stop()).toBe(0);
    }
    const played = await readTake(folder());
    const pass = readPiece('choir-warm-up');
    expect(played.length).toBeGreaterThan(pass.length);
    expect(played).toEqual(played.map((_, i) => pass[i % pass.length]));
    // What a browser says of a socket that nobody answers is all there is.
    expect(watch.complaints.filter((one) => !/^WebSocket connection to/.test(one))).toEqual([]);
    for (const request of watch.requests) expect(new URL(request).host).toBe(leeway.host);
  }, 240_000);
});

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
