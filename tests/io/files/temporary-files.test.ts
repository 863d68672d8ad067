import { spawnSync } from 'node:child_process';
import { mkdir, readdir, symlink, utimes, writeFile } from 'node:fs/promises';
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
const toDeadProcess = (): number => spawnSync(process.execPath, ['--version']).pid;

test('temporary files of a killed process are removed, and those of a running one are not', async () => {
  const ours = basename(nameTemporary(folder()));
  const toName = (pid: number | undefined, random: string) =>
    ours.replace(`-${process.pid}-`, `-${pid}-`).replace(/[0-9a-f]{8}\.tmp$/, `${random}.tmp`);
  const elsewhere = ours.replace(/^\.leeway-[0-9a-f]{8}/, '.leeway-ffffffff');
  const gone = {
    dead: toName(toDeadProcess(), '00000001'),
    old: elsewhere.replace(/.{8}\.tmp$/, '00000002.tmp'),
  };
  const stays = {
    ours,
    oldOurs: toName(process.pid, '00000003'),
    // The process that started the tests, whose start isn't told.
    runs: toName(process.ppid, '00000004').replace(/-\d+-([0-9a-f]{16})/, '-0-$1'),
    elsewhere,
    noName: '.leeway-notes.tmp',
    noDot: 'leeway.tmp',
    more: `${gone.dead}.mid`,
    midi: 'a.mid',
  };
  for (const name of Object.values({ ...gone, ...stays })) await writeFile(join(folder(), name), 'x');
  const aside = { folder: toName(toDeadProcess(), '00000005'), link: toName(toDeadProcess(), '00000006') };
  await mkdir(join(folder(), aside.folder));
  await symlink('a.mid', join(folder(), aside.link));
  const eightDaysAgo = Date.now() / 1000 - 8 * 86_400;
  for (const name of [gone.old, stays.oldOurs, stays.runs, stays.noName, stays.noDot])
    await utimes(join(folder(), name), eightDaysAgo, eightDaysAgo);
  await removeLeftovers(folder());
  expect((await readdir(folder())).sort()).toEqual(Object.values({ ...stays, ...aside }).sort());
});

test.runIf(process.platform === 'linux')(
  "a temporary file is removed though another process has its writer's number",
  async () => {
    const earlier = basename(nameTemporary(folder())).replace(/-(\d+)-([0-9a-f]{16})/, '-1-$2');
    await writeFile(join(folder(), earlier), 'x');
    await removeLeftovers(folder());
    expect(await readdir(folder())).toEqual([]);
  },
);

test('a folder is searched for temporary files once, and a missing one is no error', async () => {
  await removeLeftovers(folder());
  const dead = basename(nameTemporary(folder())).replace(`-${process.pid}-`, `-${toDeadProcess()}-`);
  await writeFile(join(folder(), dead), 'x');
  await removeLeftovers(folder());
  expect(await readdir(folder())).toEqual([dead]);
  await removeLeftovers(join(folder(), 'nowhere'));
});

test('signals are handled only while something is being written', () => {
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
