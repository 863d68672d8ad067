import { spawnSync } from 'node:child_process';
import { mkdir, readdir, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import process from 'node:process';
import { expect, test } from 'vitest';
import { clearTakes, makeTakeFolder, toTakeFileName } from '../../../src/app/live/take-folder.js';
import { nameTemporary } from '../../../src/io/files/temporary-files.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const AT = new Date(2026, 2, 1, 20, 5, 9);

test('a take gets a new folder, named by date and time', async () => {
  const takes = join(folder(), 'new', 'takes');
  for (let i = 0; i < 3; i++) await makeTakeFolder(takes, AT);
  expect((await readdir(takes)).sort()).toEqual([
    '2026-03-01 20-05-09',
    '2026-03-01 20-05-09 2',
    '2026-03-01 20-05-09 3',
  ]);
});

test('a take reports a file in the place of its folder', async () => {
  await writeFile(join(folder(), 'takes'), '');
  await expect(makeTakeFolder(join(folder(), 'takes'), AT)).rejects.toMatchObject({ code: 'FOLDER_FAILED' });
});

test.each([
  ['in', 1, 'Stage Piano', 'in-1 Stage Piano.mid'],
  ['out', 2, 'a/b\\c:d*"?<>|\n', 'out-2 a_b_c_d_______.mid'],
  ['in', 3, '../..', 'in-3 .._...mid'],
  ['in', 1, 'Klavier Größe 5', 'in-1 Klavier Größe 5.mid'],
  ['out', 1, 'x'.repeat(300), `out-1 ${'x'.repeat(60)}.mid`],
  ['out', 1, '🎹'.repeat(80), `out-1 ${'_'.repeat(60)}.mid`],
] as const)('the file of port %s %i %j in a take has a safe name', (direction, number, port, name) => {
  expect(toTakeFileName(direction, number, port)).toBe(name);
});

test('temporary files of a killed program are removed from takes, and not from other folders', async () => {
  const { pid } = spawnSync(process.execPath, ['--version']);
  const dead = basename(nameTemporary(folder())).replace(`-${process.pid}-`, `-${pid}-`);
  const takes = ['2026-03-01 20-05-09', '2026-03-01 20-05-09 2'];
  const others = ['2026-03-01', 'takes 2026-03-01 20-05-09', '2026-03-01 20-05-09 b'];
  for (const name of [...takes, ...others]) {
    await mkdir(join(folder(), name));
    await writeFile(join(folder(), name, dead), 'x');
    await writeFile(join(folder(), name, 'ledger.jsonl'), 'x');
  }
  await clearTakes(folder());
  const left = async (name: string) => (await readdir(join(folder(), name))).includes(dead);
  expect(await Promise.all(takes.map(left))).toEqual([false, false]);
  expect(await Promise.all(others.map(left))).toEqual([true, true, true]);
  await clearTakes(join(folder(), 'nowhere'));
});
