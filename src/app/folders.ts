import { mkdir, stat } from 'node:fs/promises';
import { LeewayError } from '../io/leeway-error.js';

/** Whether a folder stands at `path`; false as well for what isn't there or can't be looked at. */
export async function isFolder(path: string): Promise<boolean> {
  return (await look(path))?.isDirectory() ?? false;
}

/** Whether something that is no folder stands at `path`. */
export async function isFile(path: string): Promise<boolean> {
  const found = await look(path);
  return found !== undefined && !found.isDirectory();
}

/**
 * What a path leads to, the same text for every path to the same file or folder: links don't matter. Undefined if
 * there is nothing, or a pipe or device, which can be read and written at once.
 */
export async function toIdentity(path: string): Promise<string | undefined> {
  const found = await look(path);
  return found?.isFile() || found?.isDirectory() ? `${found.dev}:${found.ino}` : undefined;
}

/**
 * Makes a folder and those above it, where they are missing.
 * Throws a LeewayError: FOLDER_FAILED.
 */
export async function makeFolder(path: string): Promise<void> {
  try {
    await mkdir(path, { recursive: true });
  } catch (error) {
    throw new LeewayError(
      {
        code: 'FOLDER_FAILED',
        message: `Can't make the folder ${path}: ${await toReason(error, path)}.`,
        advice: 'Choose another folder, or change the permissions of the one above it.',
      },
      { cause: error },
    );
  }
}

/** Why a folder can't be made. With those above it, one on a disk that is read-only is said to be missing. */
async function toReason(error: unknown, path: string): Promise<string> {
  const { code, message } = error as NodeJS.ErrnoException;
  if (code === 'ENOENT') {
    const alone = await mkdir(path).catch((other: NodeJS.ErrnoException) => other);
    if (alone !== undefined && alone.code !== 'ENOENT') return toReason(alone, path);
  }
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') return 'permission denied';
  if (code === 'ENOSPC' || code === 'EDQUOT') return 'no space left';
  if (code === 'EEXIST' || code === 'ENOTDIR') return 'a file stands in its way';
  return message;
}

function look(path: string) {
  return stat(path, { bigint: true }).catch(() => undefined);
}
