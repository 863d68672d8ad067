import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import process from 'node:process';
import { Worker } from 'node:worker_threads';
import { expect, test } from 'vitest';
import { isRunning, toThisWriter } from '../../../../src/io/files/writer.js';

const isLinux = process.platform === 'linux';

test('this process is running, and another one with its number is not taken for it', () => {
  const itself = toThisWriter();
  expect(itself).toMatchObject({ computer: expect.stringMatching(/^[0-9a-f]{8}$/), pid: process.pid });
  expect(isRunning(itself)).toBe(true);
  expect(isRunning({ ...itself, startedAt: itself.startedAt + 1 })).toBe(!isLinux);
  expect(isRunning({ ...itself, startedAt: 0 })).toBe(true);
});

test.runIf(isLinux)('a process began when the system’s list of processes says, in every thread', async () => {
  const { startedAt, pid } = toThisWriter();
  const ticks = Number(spawnSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }).stdout);
  const ago = Number(spawnSync('ps', ['-o', 'etimes=', '-p', `${pid}`], { encoding: 'utf8' }).stdout);
  const up = Number(spawnSync('cut', ['-d ', '-f1', '/proc/uptime'], { encoding: 'utf8' }).stdout);
  expect(Math.abs(up - startedAt / ticks - ago)).toBeLessThan(2);
  const asked = new Worker(
    `require('node:worker_threads').parentPort.postMessage(
       require('node:fs').readFileSync('/proc/' + process.pid + '/stat', 'latin1'))`,
    { eval: true },
  );
  const [stat] = await once(asked, 'message');
  expect(stat).toContain(` ${startedAt} `);
});

test('a process is running until it has ended, also one of another user', async () => {
  const child = spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000)'], { stdio: 'ignore' });
  const pid = child.pid as number;
  expect(isRunning({ pid, startedAt: 0 })).toBe(true);
  const user = process.getuid?.();
  if (user === 0) {
    process.seteuid?.(65_534);
    try {
      expect(isRunning({ pid, startedAt: 0 })).toBe(true);
    } finally {
      process.seteuid?.(0);
    }
  }
  child.kill('SIGKILL');
  await once(child, 'close');
  expect(isRunning({ pid, startedAt: 0 })).toBe(false);
});
