import { PassThrough } from 'node:stream';
import { expect, test } from 'vitest';
import { openBar, openProgress } from '../../src/cli/progress.js';
import { CLOCK } from '../../src/io/clock/index.js';
import { createWorld } from '../support/run-cli.js';

/** A world whose errors go to a terminal, or don't, and whose clock goes when it is told to. */
function open(isTTY: boolean) {
  const stderr = Object.assign(new PassThrough(), { isTTY, columns: 80 });
  let nowMs = 0;
  const world = { ...createWorld(), stderr, clock: { ...CLOCK, now: () => nowMs } };
  return {
    world,
    said: () => String(stderr.read() ?? ''),
    wait: (ms: number) => {
      nowMs += ms;
    },
  };
}

test('a progress bar is shown on a terminal and nowhere else', async () => {
  const { world, said } = open(true);
  const bar = await openBar(world, '{bar} {value} of {total} files', 12);
  bar?.update(5);
  bar?.stop();
  expect(said()).toContain('0 of 12 files');
  const quiet = open(false);
  expect(await openBar(quiet.world, '{value}', 12)).toBeUndefined();
  expect(quiet.said()).toBe('');
});

test('work that is soon done shows no progress bar', async () => {
  const { world, said, wait } = open(true);
  const progress = await openProgress(world);
  progress.show(0.5);
  expect(said()).toBe('');
  wait(1500);
  progress.show(0.75);
  progress.stop();
  progress.stop();
  expect(said()).toMatch(/ % {2}/);
});
