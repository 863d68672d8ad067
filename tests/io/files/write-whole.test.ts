import { chmod, lstat, mkdir, readdir, readFile, stat, symlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { writeWhole } from '../../../src/io/files/index.js';
import { makePipe, useTemporaryFolder, withoutRights } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const NEW = Uint8Array.from([0x4d, 0x54, 0x68, 0x64]);

const at = (...parts: string[]) => join(folder(), ...parts);

describe('writeWhole writes', () => {
  test('a new file, and leaves nothing else behind', async () => {
    await writeWhole(at('a.mid'), NEW);
    expect(new Uint8Array(await readFile(at('a.mid')))).toEqual(NEW);
    expect(await readdir(folder())).toEqual(['a.mid']);
  });

  test('nothing, as an empty file', async () => {
    await writeWhole(at('a.mid'), new Uint8Array(0));
    expect((await stat(at('a.mid'))).size).toBe(0);
  });

  test('a new file in the place of an old one, with its mode; who has the old one open still reads it whole', async () => {
    await writeFile(at('a.mid'), 'the old and longer bytes');
    await chmod(at('a.mid'), 0o640);
    const before = await stat(at('a.mid'));
    await writeWhole(at('a.mid'), NEW);
    const after = await stat(at('a.mid'));
    expect(new Uint8Array(await readFile(at('a.mid')))).toEqual(NEW);
    expect(after.ino).not.toBe(before.ino);
    expect(after.mode).toBe(before.mode);
  });

  test('behind links, which stay links, in the folder of the file', async () => {
    await mkdir(at('far'));
    await writeFile(at('far', 'a.mid'), 'old');
    await symlink('far/a.mid', at('near.mid'));
    await symlink('near.mid', at('nearer.mid'));
    await writeWhole(at('nearer.mid'), NEW);
    expect((await lstat(at('nearer.mid'))).isSymbolicLink()).toBe(true);
    expect((await lstat(at('near.mid'))).isSymbolicLink()).toBe(true);
    expect(new Uint8Array(await readFile(at('far', 'a.mid')))).toEqual(NEW);
    expect(await readdir(at('far'))).toEqual(['a.mid']);
  });

  test('behind a link to nothing yet', async () => {
    await symlink('later.mid', at('a.mid'));
    await writeWhole(at('a.mid'), NEW);
    expect((await lstat(at('a.mid'))).isSymbolicLink()).toBe(true);
    expect(new Uint8Array(await readFile(at('later.mid')))).toEqual(NEW);
  });

  test('a name as long as the system allows', async () => {
    const name = `${'a'.repeat(251)}.mid`;
    await writeWhole(at(name), NEW);
    expect(await readdir(folder())).toEqual([name]);
  });

  test('into a pipe, which stays one', async () => {
    makePipe(at('pipe'));
    const [, read] = await Promise.all([writeWhole(at('pipe'), NEW), readFile(at('pipe'))]);
    expect(new Uint8Array(read)).toEqual(NEW);
    expect((await lstat(at('pipe'))).isFIFO()).toBe(true);
  });
});

describe('writeWhole refuses, without a change,', () => {
  test('a folder', async () => {
    await mkdir(at('a.mid'));
    await expect(writeWhole(at('a.mid'), NEW)).rejects.toMatchObject({ code: 'FILE_IS_FOLDER' });
    expect(await readdir(folder())).toEqual(['a.mid']);
  });

  test('a folder that is not there', async () => {
    await expect(writeWhole(at('none', 'a.mid'), NEW)).rejects.toMatchObject({ code: 'FILE_NO_FOLDER' });
    expect(await readdir(folder())).toEqual([]);
  });

  test('a name longer than the system allows', async () => {
    await expect(writeWhole(at('a'.repeat(300)), NEW)).rejects.toMatchObject({ code: 'FILE_FAILED' });
    expect(await readdir(folder())).toEqual([]);
  });

  test('links in a circle', async () => {
    await symlink('b.mid', at('a.mid'));
    await symlink('a.mid', at('b.mid'));
    await expect(writeWhole(at('a.mid'), NEW)).rejects.toMatchObject({ code: 'FILE_FAILED' });
  });

  test('a folder without permission to write', async () => {
    await chmod(folder(), 0o555);
    await expect(withoutRights(() => writeWhole(at('a.mid'), NEW))).rejects.toMatchObject({
      code: 'FILE_FORBIDDEN',
    });
    expect(await readdir(folder())).toEqual([]);
  });

  test('a write-protected file, even where its folder may be written', async () => {
    await writeFile(at('a.mid'), 'old');
    await chmod(at('a.mid'), 0o444);
    await chmod(folder(), 0o777);
    await expect(withoutRights(() => writeWhole(at('a.mid'), NEW))).rejects.toMatchObject({
      code: 'FILE_FORBIDDEN',
    });
    expect(await readFile(at('a.mid'), 'utf8')).toBe('old');
  });

  test('bytes that fail half-way, where the old file stays and the new one is removed', async () => {
    await writeFile(at('a.mid'), 'old');
    const broken = { length: 4 } as Uint8Array; // refused by the system call, after the new file was made
    await expect(writeWhole(at('a.mid'), broken)).rejects.toMatchObject({ code: 'FILE_FAILED' });
    expect(await readFile(at('a.mid'), 'utf8')).toBe('old');
    expect(await readdir(folder())).toEqual(['a.mid']);
  });
});

test('a reader sees nothing but whole files while one is written repeatedly', async () => {
  const versions = [1, 2, 3].map((value) => new Uint8Array(50_000).fill(value));
  await writeWhole(at('a.mid'), versions[0]);
  let writing = true;
  const writer = (async () => {
    for (let i = 0; i < 60; i++) await writeWhole(at('a.mid'), versions[i % 3]);
    writing = false;
  })();
  while (writing) {
    const seen = await readFile(at('a.mid'));
    expect(seen.length).toBe(50_000);
    expect(seen.every((byte) => byte === seen[0])).toBe(true);
  }
  await writer;
});
