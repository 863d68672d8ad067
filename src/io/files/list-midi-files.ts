import type { Dirent } from 'node:fs';
import { readdir, realpath, stat } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { notFolderError, toFileError } from './file-problems.js';

const EXTENSIONS = new Set(['.mid', '.midi', '.smf', '.rmi', '.kar']);

/**
 * The MIDI files in a folder and all folders below it: paths that begin with `folder`, in the same order on every
 * system.
 *
 * A MIDI file is known by its extension, .mid .midi .smf .rmi or .kar in any case. Symbolic links are followed; a
 * folder reached twice, as in a loop of links, is listed once, and broken links are left out. Throws a LeewayError:
 * FILE_MISSING, FILE_NOT_FOLDER, FILE_FORBIDDEN (for any folder below, too), FILE_FAILED.
 *
 * @example await listMidiFiles('songs')  // ['songs/a.mid', 'songs/more/b.KAR']
 */
export async function listMidiFiles(folder: string): Promise<string[]> {
  try {
    if (!(await stat(folder)).isDirectory()) throw notFolderError(folder);
  } catch (error) {
    throw toFileError(error, 'list', folder);
  }
  const found: string[] = [];
  await listInto(found, folder, new Set());
  return found.sort(byCodeUnits);
}

async function listInto(found: string[], folder: string, seen: Set<string>): Promise<void> {
  let entries: Dirent[];
  try {
    const real = await realpath(folder);
    if (seen.has(real)) return;
    seen.add(real);
    entries = await readdir(folder, { withFileTypes: true });
  } catch (error) {
    throw toFileError(error, 'list', folder);
  }
  // Sorted, so that the first of two paths to a folder doesn't depend on the disk; links last, so that a folder is
  // listed under its own name where it has one here.
  entries.sort(
    (a, b) => Number(a.isSymbolicLink()) - Number(b.isSymbolicLink()) || byCodeUnits(a.name, b.name),
  );
  for (const entry of entries) {
    const path = join(folder, entry.name);
    const target = entry.isSymbolicLink() ? await stat(path).catch(() => undefined) : entry;
    if (target?.isDirectory()) await listInto(found, path, seen);
    else if (target?.isFile() && EXTENSIONS.has(extname(entry.name).toLowerCase())) found.push(path);
  }
}

function byCodeUnits(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
