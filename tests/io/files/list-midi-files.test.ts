import { chmod, mkdir, symlink, writeFile } from 'node:fs/promises';
import { join, relative, sep } from 'node:path';
import { expect, test } from 'vitest';
import { listMidiFiles } from '../../../src/io/files/index.js';
import { useTemporaryFolder, withoutRights } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const at = (...parts: string[]) => join(folder(), ...parts);

async function make(...paths: string[]): Promise<void> {
  for (const path of paths) {
    await mkdir(at(path, '..'), { recursive: true });
    await writeFile(at(path), '');
  }
}

async function listed(): Promise<string[]> {
  const paths = await listMidiFiles(folder());
  return paths.map((path) => relative(folder(), path).split(sep).join('/'));
}

test('files with every MIDI extension are listed, in any case, in all folders, in order', async () => {
  await make('b.mid', 'a.MIDI', 'B.smf', 'x/y/c.Rmi', 'x/a.kar', 'notes.txt', 'mid', 'a.mid.bak', 'x/.mid');
  expect(await listed()).toEqual(['B.smf', 'a.MIDI', 'b.mid', 'x/a.kar', 'x/y/c.Rmi']);
});

test('paths of listed MIDI files begin with the folder as it was named', async () => {
  await make('a.mid');
  expect(await listMidiFiles(folder())).toEqual([at('a.mid')]);
});

test('an empty folder, and a folder with the name of a file, list no MIDI files', async () => {
  await mkdir(at('songs.mid'));
  expect(await listed()).toEqual([]);
});

test('the list of MIDI files follows links to files and folders, and leaves out dead ones', async () => {
  await make('real/a.mid', 'other.txt');
  await symlink('real/a.mid', at('b.mid'));
  await symlink('none.mid', at('c.mid'));
  await symlink('other.txt', at('d.mid'));
  expect(await listed()).toEqual(['b.mid', 'd.mid', 'real/a.mid']);
});

test('the list of MIDI files ends with circular links, and has each folder once, under its own name', async () => {
  await make('x/a.mid');
  await symlink('..', at('x', 'up'));
  await symlink('.', at('here'));
  await symlink('x', at('also'));
  expect(await listed()).toEqual(['x/a.mid']);
});

test('the list of MIDI files is refused for what is missing, no folder, or forbidden', async () => {
  await make('a.mid', 'shut/b.mid');
  await chmod(at('shut'), 0);
  await expect(listMidiFiles(at('none'))).rejects.toMatchObject({
    name: 'LeewayError',
    code: 'FILE_MISSING',
  });
  await expect(listMidiFiles(at('a.mid'))).rejects.toMatchObject({ code: 'FILE_NOT_FOLDER' });
  const shut = withoutRights(() => listMidiFiles(folder()));
  await expect(shut).rejects.toMatchObject({ code: 'FILE_FORBIDDEN' });
  await chmod(at('shut'), 0o755);
});
