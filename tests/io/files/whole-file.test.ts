import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { WholeFile } from '../../../src/io/files/index.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

// What becomes of links, modes, pipes and refusals is told in write-whole.test.ts, which goes the same way.
const folder = useTemporaryFolder();
const at = (name: string) => join(folder(), name);

test('a whole file has its pieces in order, and is not in place before it is complete', async () => {
  await writeFile(at('a.wav'), 'old');
  const file = await WholeFile.open(at('a.wav'));
  await file.write(Uint8Array.of(1, 2));
  await file.write(Uint8Array.of(3));
  expect(await readFile(at('a.wav'), 'utf8')).toBe('old');
  await file.finish();
  expect([...(await readFile(at('a.wav')))]).toEqual([1, 2, 3]);
  expect(await readdir(folder())).toEqual(['a.wav']);
});

test('an abandoned whole file leaves the old file, and nothing else', async () => {
  await writeFile(at('a.wav'), 'old');
  const file = await WholeFile.open(at('a.wav'));
  await file.write(new Uint8Array(1000));
  await file.abandon();
  expect(await readFile(at('a.wav'), 'utf8')).toBe('old');
  expect(await readdir(folder())).toEqual(['a.wav']);
});

test('a whole file whose place became a folder is an error, and leaves nothing', async () => {
  const file = await WholeFile.open(at('a.wav'));
  await file.write(Uint8Array.of(1));
  await mkdir(at('a.wav'));
  await expect(file.finish()).rejects.toMatchObject({ code: 'FILE_IS_FOLDER' });
  expect(await readdir(folder())).toEqual(['a.wav']);
});
