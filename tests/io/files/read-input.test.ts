import { chmod, mkdir, symlink, truncate, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { readInput } from '../../../src/io/files/index.js';
import { makePipe, useTemporaryFolder, withoutRights } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();

describe('readInput reads all of', () => {
  test.each([0, 1, 65_535, 65_536, 65_537, 200_000])('a file of %i bytes', async (length) => {
    const path = join(folder(), 'a.mid');
    const bytes = Uint8Array.from({ length }, (_, i) => (i * 7) & 0xff);
    await writeFile(path, bytes);
    const read = await readInput(path);
    expect(read.length).toBe(length);
    expect(Buffer.compare(read, bytes)).toBe(0);
  });

  test('a file behind a link', async () => {
    await writeFile(join(folder(), 'a.mid'), 'MThd');
    await symlink('a.mid', join(folder(), 'b.mid'));
    expect(Buffer.from(await readInput(join(folder(), 'b.mid'))).toString()).toBe('MThd');
  });

  test('a pipe, whose size is not known before', async () => {
    const path = join(folder(), 'pipe');
    makePipe(path);
    const bytes = Buffer.alloc(150_000, 'MIDI');
    const [read] = await Promise.all([readInput(path), writeFile(path, bytes)]);
    expect(Buffer.compare(read, bytes)).toBe(0);
  });
});

describe('readInput refuses, with the reason,', () => {
  test('a file that is not there', async () => {
    const path = join(folder(), 'none.mid');
    await expect(readInput(path)).rejects.toMatchObject({ name: 'LeewayError', code: 'FILE_MISSING' });
    await expect(readInput(path)).rejects.toThrow(path);
  });

  test('a path through a file', async () => {
    await writeFile(join(folder(), 'a.mid'), '');
    await expect(readInput(join(folder(), 'a.mid', 'b.mid'))).rejects.toMatchObject({ code: 'FILE_MISSING' });
  });

  test('a folder', async () => {
    await mkdir(join(folder(), 'songs.mid'));
    await expect(readInput(join(folder(), 'songs.mid'))).rejects.toMatchObject({ code: 'FILE_IS_FOLDER' });
  });

  test('a file one may not read', async () => {
    const path = join(folder(), 'a.mid');
    await writeFile(path, 'MThd');
    await chmod(path, 0);
    await expect(withoutRights(() => readInput(path))).rejects.toMatchObject({ code: 'FILE_FORBIDDEN' });
  });

  test('links in a circle', async () => {
    await symlink('b.mid', join(folder(), 'a.mid'));
    await symlink('a.mid', join(folder(), 'b.mid'));
    await expect(readInput(join(folder(), 'a.mid'))).rejects.toMatchObject({ code: 'FILE_FAILED' });
  });

  test('a file over the limit of 256 MiB', async () => {
    const path = join(folder(), 'a.mid');
    await writeFile(path, '');
    await truncate(path, 256 * 2 ** 20 + 1); // a hole: takes no space
    await expect(readInput(path)).rejects.toMatchObject({ code: 'FILE_TOO_BIG' });
  });

  test('a file just over a given limit, not one that just fits', async () => {
    const path = join(folder(), 'a.mid');
    await writeFile(path, '12345');
    await expect(readInput(path, 4)).rejects.toMatchObject({ code: 'FILE_TOO_BIG' });
    expect((await readInput(path, 5)).length).toBe(5);
  });

  test('an endless device', async () => {
    await expect(readInput('/dev/zero', 300_000)).rejects.toMatchObject({ code: 'FILE_TOO_BIG' });
  });
});
