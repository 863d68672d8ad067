import { chmod, mkdir, readdir, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { readPrivate, writePrivate } from '../../../src/io/files/index.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const modeOf = async (path: string) => (await stat(path)).mode & 0o777;

test('a private file is read as it was written, and nobody else may read it or its folder', async () => {
  const path = join(folder(), 'new', 'tokens', 'one');
  expect(await readPrivate(path)).toBeUndefined();
  expect(await writePrivate(path, 'first')).toBe(true);
  expect(await writePrivate(path, 'second')).toBe(true);
  expect(await readPrivate(path)).toBe('second');
  expect([await modeOf(path), await modeOf(dirname(path))]).toEqual([0o600, 0o700]);
  expect(await readdir(dirname(path))).toEqual(['one']);
});

test('a file that others may read is no private one', async () => {
  const path = join(folder(), 'open');
  await writeFile(path, 'known to all');
  await chmod(path, 0o644);
  expect(await readPrivate(path)).toBeUndefined();
  expect(await writePrivate(path, 'mine')).toBe(true);
  expect(await modeOf(path)).toBe(0o600);
});

test('a private file that can not be written is reported, and leaves nothing', async () => {
  await writeFile(join(folder(), 'file'), '');
  expect(await writePrivate(join(folder(), 'file', 'below'), 'x')).toBe(false);
  await mkdir(join(folder(), 'taken'));
  expect(await writePrivate(join(folder(), 'taken'), 'x')).toBe(false);
  expect((await readdir(folder())).sort()).toEqual(['file', 'taken']);
});
