import { spawnSync } from 'node:child_process';
import { mkdir, readdir, utimes, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import process from 'node:process';
import { expect, test } from 'vitest';
import { clearOutputs, leaveOutDone } from '../../../src/app/batch/resume.js';
import { nameTemporary } from '../../../src/io/files/temporary-files.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const at = (...names: string[]) => join(folder(), ...names);
const toJob = (input: string, output: string) => ({ input, output, makeFolder: true });

test('an output that is newer than its input counts as done; an older one, a missing one and a folder do not', async () => {
  for (const name of ['in.mid', 'newer.mid', 'older.mid']) await writeFile(at(name), 'x');
  await utimes(at('in.mid'), 1000, 1000);
  await utimes(at('newer.mid'), 1000, 1000);
  await utimes(at('older.mid'), 999, 999);
  await mkdir(at('folder.mid'));
  const jobs = ['newer.mid', 'older.mid', 'none.mid', 'folder.mid'].map((name) =>
    toJob(at('in.mid'), at(name)),
  );
  expect(await leaveOutDone(jobs)).toEqual({ jobs: jobs.slice(1), done: 1 });
});

test('temporary files are removed from every folder of an output, and from no other', async () => {
  const { pid } = spawnSync(process.execPath, ['--version']);
  const dead = basename(nameTemporary(folder())).replace(`-${process.pid}-`, `-${pid}-`);
  for (const name of ['a', 'b', 'c']) {
    await mkdir(at(name));
    await writeFile(at(name, dead), 'x');
  }
  await clearOutputs([
    toJob('1', at('a', '1.mid')),
    toJob('2', at('b', '2.mid')),
    toJob('3', at('none', '3.mid')),
  ]);
  expect(await Promise.all(['a', 'b', 'c'].map((name) => readdir(at(name))))).toEqual([[], [], [dead]]);
  // Standard output stands in no folder.
  const here = process.cwd();
  process.chdir(at('c'));
  try {
    await clearOutputs([toJob('-', '-')]);
  } finally {
    process.chdir(here);
  }
  expect(await readdir(at('c'))).toEqual([dead]);
});
