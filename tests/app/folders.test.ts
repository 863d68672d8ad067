import { chmod, mkdir, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { isFile, isFolder, makeFolder, toIdentity } from '../../src/app/folders.js';
import { useTemporaryFolder, withoutRights } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();
const at = (...names: string[]) => join(folder(), ...names);

test('a folder is made with its parents, and an existing one is no mistake', async () => {
  await makeFolder(at('a', 'b', 'c'));
  await makeFolder(at('a', 'b', 'c'));
  expect(await isFolder(at('a', 'b', 'c'))).toBe(true);
  expect(await readdir(at('a'))).toEqual(['b']);
});

test('the reason why a folder cannot be made is reported', async () => {
  await writeFile(at('file'), '');
  for (const path of [at('file'), at('file', 'inner')])
    await expect(makeFolder(path)).rejects.toMatchObject({
      code: 'FOLDER_FAILED',
      message: `Can't make the folder ${path}: a file is in its way.`,
    });
  await mkdir(at('closed'));
  await chmod(at('closed'), 0o555);
  await withoutRights(() =>
    expect(makeFolder(at('closed', 'inner'))).rejects.toMatchObject({
      message: `Can't make the folder ${at('closed', 'inner')}: permission denied.`,
    }),
  );
});

test('the kind of what is at a path is reported', async () => {
  await writeFile(at('file'), '');
  expect([await isFile(at('file')), await isFolder(at('file'))]).toEqual([true, false]);
  expect([await isFile(folder()), await isFolder(folder())]).toEqual([false, true]);
  expect([await isFile(at('none')), await toIdentity(at('none'))]).toEqual([false, undefined]);
  expect(await toIdentity(at('file'))).toBe(await toIdentity(join(folder(), '.', 'file')));
  expect(await toIdentity(at('file'))).not.toBe(await toIdentity(folder()));
});
