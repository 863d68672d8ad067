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
    const reason = error instanceof Error ? error.message : String(error);
    throw new LeewayError(
      {
        code: 'FOLDER_FAILED',
        message: `Can't make the folder ${path}: ${reason}.`,
        advice: 'Choose another folder, or change the permissions of the one above it.',
      },
      { cause: error },
    );
  }
}

function look(path: string) {
  return stat(path, { bigint: true }).catch(() => undefined);
}
