import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { FeedClient } from '../../../support/feed-client.js';
import { FeedStage, writePage } from '../../../support/feed-stage.js';
import { useTemporaryFolder } from '../../../support/temporary-folder.js';
import { pause, until } from '../../../support/until.js';

const folder = useTemporaryFolder();
let stage: FeedStage;

beforeEach(async () => {
  stage = await new FeedStage(writePage(folder())).open();
});
afterEach(() => stage.close());

test('viewers of the feed server get at most 30 frames a second, and none while nothing changes', async () => {
  const viewer = await stage.viewer();
  const fromMs = performance.now();
  for (let i = 0; i < 100; i++) {
    stage.play(i % 2 === 0 ? 0x90 : 0x80, 60, 64, 5);
    await pause(5);
  }
  const seconds = (performance.now() - fromMs) / 1000;
  await pause(60);
  const frames = viewer.of('frame').length;
  expect(frames).toBeGreaterThan(3);
  expect(frames).toBeLessThanOrEqual(30 * (seconds + 0.06) + 2);
  stage.wait(5000);
  // However late a busy machine sends what is still to come: in the end nothing comes for a while.
  let before = -1;
  for (let i = 0; i < 30 && before !== viewer.of('frame').length; i++) {
    before = viewer.of('frame').length;
    await pause(300);
  }
  expect(viewer.of('frame')).toHaveLength(before);
});

describe('hostile clients of the feed server:', () => {
  test('a flood of messages is cut, reported once, and reaches the session at the allowed rate', async () => {
    const [good, bad] = [await stage.viewer(), await stage.player()];
    const fromMs = performance.now();
    for (let i = 0; i < 1500; i++) bad.send({ type: 'play', act: 'on', key: i % 128, velocity: 1 });
    await until('a refusal', () => bad.of('refused').length > 0);
    await pause(200);
    expect(bad.of('refused').every(({ code }) => code === 'TOO_FAST')).toBe(true);
    // Once a second; 240 orders at once, and 120 a second after that.
    const seconds = (performance.now() - fromMs) / 1000;
    expect(bad.of('refused').length).toBeLessThan(2 + seconds);
    expect(stage.orders().length).toBeGreaterThanOrEqual(240);
    expect(stage.orders().length).toBeLessThan(241 + 120 * seconds);
    stage.play(0x90, 60, 80);
    await good.sees('a note', ({ notes }) => notes.length === 1);
    for (let i = 0; i < 4000 && bad.closed === undefined; i++) {
      if (bad.socket.readyState === bad.socket.OPEN) bad.send({ type: 'play', act: 'all-off' });
      if (i % 500 === 0) await pause(5);
    }
    await until('the end', () => bad.closed !== undefined);
    expect(bad.closed?.code).toBe(1008);
  });

  test('a viewer that stops reading costs no more than its bound, and gets the newest state when it reads again', async () => {
    const [good, slow] = [await stage.viewer(), await stage.viewer()];
    slow.socket.pause();
    // Many notes, so that a frame is large; until the slow one's frames are dropped.
    for (let key = 30; key < 90; key++) stage.play(0x90, key, 80, 1);
    const dropped = () => good.frame?.counters.droppedFrames ?? 0;
    const end = performance.now() + 20_000;
    while (dropped() === 0 && performance.now() < end) {
      stage.play(0xb0, 64, stage.nowMs % 2 === 0 ? 127 : 0, 1);
      await pause(35);
    }
    expect(dropped()).toBeGreaterThan(0);
    for (let i = 0; i < 10; i++) {
      stage.play(0xb0, 64, 127, 1);
      await pause(35);
    }
    stage.play(0xb0, 64, 0, 1);
    stage.play(0xb0, 120, 0);
    await good.sees('silence', ({ notes }) => notes.length === 0);
    const before = slow.of('snapshot').length;
    slow.socket.resume();
    const knock = setInterval(() => stage.play(0xb0, 64, 0, 1), 40);
    await until('a snapshot', () => slow.of('snapshot').length > before).finally(() => clearInterval(knock));
    expect(slow.frame?.notes).toEqual([]);
    expect(slow.strange).toEqual([]);
  }, 60_000);

  test('hundreds of short connections leave nothing behind', async () => {
    const good = await stage.viewer();
    for (let round = 0; round < 10; round++) {
      const crowd = Array.from({ length: 50 }, () => new FeedClient(`ws://${stage.address}`));
      await Promise.all(crowd.map((one) => one.isOpen()));
      for (const one of crowd) one.vanish();
    }
    stage.play(0x90, 60, 80);
    const alone = setInterval(() => stage.play(0xb0, 64, 0, 1), 40);
    await good
      .sees('only one viewer', ({ counters, notes }) => counters.viewers === 1 && notes.length === 1)
      .finally(() => clearInterval(alone));
  }, 60_000);
});
