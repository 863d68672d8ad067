import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { GrowingFile } from '../../../src/io/files/growing-file.js';
import { MemoryDisk } from '../../support/memory-disk.js';
import { useTemporaryFolder, withoutRights } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const at = (...names: string[]) => join(folder(), ...names);

test('a growing file has what was written before it is closed', async () => {
  const file = await GrowingFile.create(at('a'));
  await file.write(Uint8Array.of(1, 2, 3), 0);
  await file.write(Uint8Array.of(4), 3);
  await file.write(Uint8Array.of(9), 1);
  expect([...(await readFile(at('a')))]).toEqual([1, 9, 3, 4]);
  await file.close();
});

test('a growing file completes a write that the system takes in parts', async () => {
  const disk = new MemoryDisk();
  disk.mostBytes = 2;
  const file = await GrowingFile.create('a', disk.openNew);
  await file.write(Uint8Array.of(1, 2, 3, 4, 5), 0);
  expect([...disk.read('a')]).toEqual([1, 2, 3, 4, 5]);
  expect(disk.writes).toHaveLength(3);
});

test('a growing file leaves an existing file alone', async () => {
  await writeFile(at('a'), 'mine');
  await expect(GrowingFile.create(at('a'))).rejects.toMatchObject({ code: 'FILE_FAILED' });
  expect(await readFile(at('a'), 'utf8')).toBe('mine');
});

test('a growing file reports a missing folder, permission or space', async () => {
  await expect(GrowingFile.create(at('none', 'a'))).rejects.toMatchObject({ code: 'FILE_NO_FOLDER' });
  await mkdir(at('shut'), { mode: 0o555 });
  await expect(withoutRights(() => GrowingFile.create(at('shut', 'a')))).rejects.toMatchObject({
    code: 'FILE_FORBIDDEN',
  });
  const disk = new MemoryDisk();
  disk.isFull = () => true;
  const file = await GrowingFile.create('a', disk.openNew);
  await expect(file.write(Uint8Array.of(1), 0)).rejects.toMatchObject({ code: 'FILE_NO_SPACE' });
});

test('a growing file notices that it was removed while it is open', async () => {
  await mkdir(at('take'));
  const file = await GrowingFile.create(at('take', 'a'));
  await file.check();
  await rm(at('take'), { recursive: true });
  await expect(file.check()).rejects.toMatchObject({ code: 'FILE_NO_FOLDER' });
  await file.close();
});
