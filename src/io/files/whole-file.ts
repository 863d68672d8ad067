import type { Stats } from 'node:fs';
import { constants, type FileHandle, lstat, open, readlink, rename, stat, unlink } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { folderError, toFileError } from './file-problems.js';
import { guardTemporary, nameTemporary, releaseTemporary, removeLeftovers } from './temporary-files.js';

const MOST_LINKS = 40;
const NEW_FILE_MODE = 0o666; // less what the umask takes away

/**
 * A file that is written piece by piece, whole or not at all: into a new file beside it, flushed, then renamed over the
 * old one. Meanwhile, and after a failure, readers see the old bytes. The bytes are on the disk before the name is, so
 * after a power cut, too, either the old file is there or the whole new one. A killed process leaves the new file
 * beside it; the next one that writes into the folder removes it.
 *
 * A symbolic link stays one: its target is replaced, in the target's folder, even if it doesn't exist yet. The mode of
 * the old file is preserved, and a write-protected file is refused. A pipe or device is written directly.
 *
 * One call at a time. After `open` comes `finish` or `abandon`, once. All but `abandon` throw a LeewayError:
 * FILE_NO_FOLDER, FILE_IS_FOLDER, FILE_FORBIDDEN, FILE_NO_SPACE, FILE_FAILED.
 *
 * @example
 * const file = await WholeFile.open('out.wav');
 * await file.write(Uint8Array.of(0x52, 0x49, 0x46, 0x46));
 * await file.finish();
 */
export class WholeFile {
  readonly #path: string;
  readonly #target: string;
  readonly #file: FileHandle;
  /** The new file beside the target; undefined if the target is written directly. */
  readonly #temporary: string | undefined;

  private constructor(path: string, target: string, file: FileHandle, temporary: string | undefined) {
    this.#path = path;
    this.#target = target;
    this.#file = file;
    this.#temporary = temporary;
  }

  static async open(path: string): Promise<WholeFile> {
    try {
      const target = await followLinks(path);
      const old = await statOrNothing(target);
      if (old?.isDirectory()) throw folderError('write', path);
      if (old && !old.isFile()) return new WholeFile(path, target, await open(target, 'w'), undefined);
      if (old) await tryWriting(target);
      await removeLeftovers(dirname(target));
      const temporary = nameTemporary(dirname(target));
      guardTemporary(temporary);
      let file: FileHandle;
      try {
        file = await open(temporary, 'wx', NEW_FILE_MODE);
      } catch (error) {
        releaseTemporary(temporary);
        throw error;
      }
      const whole = new WholeFile(path, target, file, temporary);
      if (old !== undefined) await whole.#keepMode(old.mode);
      return whole;
    } catch (error) {
      throw toFileError(error, 'write', path);
    }
  }

  async write(bytes: Uint8Array): Promise<void> {
    try {
      await this.#file.writeFile(bytes);
    } catch (error) {
      throw toFileError(error, 'write', this.#path);
    }
  }

  /** Puts the file in its place. After an error nothing is left of it. */
  async finish(): Promise<void> {
    try {
      if (this.#temporary !== undefined) await this.#file.sync();
      await this.#file.close();
      if (this.#temporary !== undefined) {
        await rename(this.#temporary, this.#target);
        releaseTemporary(this.#temporary);
      }
    } catch (error) {
      await this.abandon(); // the first failure is the one to report
      throw toFileError(error, 'write', this.#path);
    }
  }

  /** Removes all of it. Never rejects. */
  async abandon(): Promise<void> {
    await this.#file.close().catch(() => undefined);
    if (this.#temporary === undefined) return;
    await unlink(this.#temporary).catch(() => undefined);
    releaseTemporary(this.#temporary);
  }

  async #keepMode(mode: number): Promise<void> {
    try {
      await this.#file.chmod(mode & 0o7777);
    } catch (error) {
      await this.abandon();
      throw error;
    }
  }
}

/** Renaming over a write-protected file would succeed, so check first. Opening alone changes nothing. */
async function tryWriting(target: string): Promise<void> {
  const file = await open(target, constants.O_WRONLY);
  await file.close();
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

/**
 * Writes a file whole or not at all, as {@link WholeFile} does. Throws a LeewayError: FILE_NO_FOLDER, FILE_IS_FOLDER,
 * FILE_FORBIDDEN, FILE_NO_SPACE, FILE_FAILED.
 *
 * @example await writeWhole('out.mid', Uint8Array.of(0x4d, 0x54, 0x68, 0x64));
 */
export async function writeWhole(path: string, bytes: Uint8Array): Promise<void> {
  const file = await WholeFile.open(path);
  try {
    await file.write(bytes);
  } catch (error) {
    await file.abandon(); // the first failure is the one to report
    throw error;
  }
  await file.finish();
}
