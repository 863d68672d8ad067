import { mkdir, stat } from 'node:fs/promises';
import { LeewayError } from '../io/leeway-error.js';

/** Whether `path` is a folder; false as well if it is missing or can't be checked. */
export async function isFolder(path: string): Promise<boolean> {
  return (await look(path))?.isDirectory() ?? false;
}

/** Whether `path` exists and is no folder. */
export async function isFile(path: string): Promise<boolean> {
  const found = await look(path);
  return found !== undefined && !found.isDirectory();
}

/**
 * The identity of a file or folder, the same for every path to it: links don't matter. Undefined if there is nothing,
 * or a pipe or device, which can be read and written at once.
 */
export async function toIdentity(path: string): Promise<string | undefined> {
  const found = await look(path);
  return found?.isFile() || found?.isDirectory() ? `${found.dev}:${found.ino}` : undefined;
}

/** Makes a folder and its missing parents. Throws a LeewayError: FOLDER_FAILED. */
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

/** Why a folder can't be made. With missing parents, a folder on a read-only disk is reported as missing. */
async function toReason(error: unknown, path: string): Promise<string> {
  const { code, message } = error as NodeJS.ErrnoException;
  if (code === 'ENOENT') {
    const alone = await mkdir(path).catch((other: NodeJS.ErrnoException) => other);
    if (alone !== undefined && alone.code !== 'ENOENT') return toReason(alone, path);
  }
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') return 'permission denied';
  if (code === 'ENOSPC' || code === 'EDQUOT') return 'no space left';
  if (code === 'EEXIST' || code === 'ENOTDIR') return 'a file is in its way';
  return message;
}

function look(path: string) {
  return stat(path, { bigint: true }).catch(() => undefined);
}
