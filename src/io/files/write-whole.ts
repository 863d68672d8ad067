import { randomBytes } from 'node:crypto';
import type { Stats } from 'node:fs';
import { constants, lstat, open, readlink, rename, stat, unlink, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { folderError, toFileError } from './file-problems.js';

const MOST_LINKS = 40;
const NEW_FILE_MODE = 0o666; // less what the umask takes away

/**
 * Writes a file whole or not at all: into a new file beside it, flushed, then renamed over the old one. Whoever reads
 * meanwhile sees the old bytes or the new ones, and after a failure the old ones are still there.
 *
 * A symbolic link stays one: what it points to is replaced, in that folder, even if it doesn't exist yet. The mode of
 * the old file is kept, and a write-protected file is refused. A pipe or device is written straight.
 *
 * Throws a LeewayError: FILE_NO_FOLDER, FILE_IS_FOLDER, FILE_FORBIDDEN, FILE_NO_SPACE, FILE_FAILED.
 *
 * @example await writeWhole('out.mid', formatMidiFile(file))
 */
export async function writeWhole(path: string, bytes: Uint8Array): Promise<void> {
  try {
    const target = await followLinks(path);
    const old = await statOrNothing(target);
    if (old?.isDirectory()) throw folderError('write', path);
    if (old && !old.isFile()) {
      await writeFile(target, bytes);
    } else {
      if (old) await tryWriting(target);
      await replace(target, bytes, old?.mode);
    }
  } catch (error) {
    throw toFileError(error, 'write', path);
  }
}

/** Renaming over a write-protected file would succeed, so ask first. Opening alone changes nothing. */
async function tryWriting(target: string): Promise<void> {
  const file = await open(target, constants.O_WRONLY);
  await file.close();
}

async function replace(target: string, bytes: Uint8Array, oldMode: number | undefined): Promise<void> {
  // A short name of its own: the target's name may be as long as the system allows already.
  const temporary = join(dirname(target), `.leeway-${randomBytes(8).toString('hex')}.tmp`);
  const file = await open(temporary, 'wx', NEW_FILE_MODE);
  try {
    try {
      if (oldMode !== undefined) await file.chmod(oldMode & 0o7777);
      await file.writeFile(bytes);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(temporary, target);
  } catch (error) {
    await unlink(temporary).catch(() => undefined); // the first failure is the one to report
    throw error;
  }
}

/** The path at the end of a chain of symbolic links, which need not exist itself. */
async function followLinks(path: string): Promise<string> {
  let target = path;
  for (let links = 0; links < MOST_LINKS; links++) {
    const found = await lstat(target).catch(nothingIfMissing);
    if (!found?.isSymbolicLink()) return target;
    target = resolve(dirname(target), await readlink(target));
  }
  throw new Error('too many symbolic links');
}

function statOrNothing(path: string): Promise<Stats | undefined> {
  return stat(path).catch(nothingIfMissing);
}

function nothingIfMissing(error: NodeJS.ErrnoException): undefined {
  if (error.code === 'ENOENT') return undefined;
  throw error;
}
