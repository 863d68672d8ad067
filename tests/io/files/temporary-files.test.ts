import { spawnSync } from 'node:child_process';
import { readdir, utimes, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import process from 'node:process';
import { expect, test } from 'vitest';
import {
  guardTemporary,
  nameTemporary,
  releaseTemporary,
  removeLeftovers,
} from '../../../src/io/files/temporary-files.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();

/** The number of a process that runs no more. */
function toDeadProcess(): number {
  return spawnSync(process.execPath, ['--version']).pid;
}

test('what a killed process has left is removed; what somebody may still be writing is not', async () => {
  const ours = basename(nameTemporary(folder()));
  const dead = ours.replace(`-${process.pid}-`, `-${toDeadProcess()}-`);
  const elsewhere = ours.replace(/^\.leeway-[0-9a-f]{8}/, '.leeway-ffffffff');
  const old = elsewhere.replace(/.{8}\.tmp$/, '00000000.tmp');
  const others = ['.leeway-notes.tmp', 'leeway.tmp', 'a.mid'];
  for (const name of [ours, dead, elsewhere, old, ...others]) await writeFile(join(folder(), name), 'x');
  const twoDaysAgo = Date.now() / 1000 - 2 * 86_400;
  for (const name of [old, ...others]) await utimes(join(folder(), name), twoDaysAgo, twoDaysAgo);
  await removeLeftovers(folder());
  expect((await readdir(folder())).sort()).toEqual([ours, elsewhere, ...others].sort());
});

test('a folder is looked through once, and one that isn’t there is no matter', async () => {
  await removeLeftovers(folder());
  const dead = basename(nameTemporary(folder())).replace(`-${process.pid}-`, `-${toDeadProcess()}-`);
  await writeFile(join(folder(), dead), 'x');
  await removeLeftovers(folder());
  expect(await readdir(folder())).toEqual([dead]);
  await removeLeftovers(join(folder(), 'nowhere'));
});

test('signals are listened for only while something is being written', () => {
  const count = () => ['SIGINT', 'SIGTERM', 'SIGHUP'].map((signal) => process.listenerCount(signal));
  const before = count();
  guardTemporary('a');
  guardTemporary('b');
  expect(count()).toEqual(before.map((one) => one + 1));
  releaseTemporary('a');
  releaseTemporary('a');
  expect(count()).toEqual(before.map((one) => one + 1));
  releaseTemporary('b');
  expect(count()).toEqual(before);
});
