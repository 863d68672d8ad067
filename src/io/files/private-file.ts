import { mkdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';

/** Nobody but the owner may read or write it. */
const PRIVATE = 0o600;
const PRIVATE_FOLDER = 0o700;
/** Bits of everybody else. */
const OTHERS = 0o077;

/**
 * Reads a file that nobody but its owner may read. Never rejects: one that is missing, can't be read, or may be read by
 * others gives `undefined`. Windows has no such bits; there the folder decides.
 */
export async function readPrivate(path: string): Promise<string | undefined> {
  try {
    const { mode } = await stat(path);
    if (process.platform !== 'win32' && (mode & OTHERS) !== 0) return undefined;
    return await readFile(path, 'utf8');
  } catch {
    return undefined;
  }
}

/** Writes such a file, whole or not at all, and its folder. Never rejects. @returns whether it could */
export async function writePrivate(path: string, text: string): Promise<boolean> {
  const fresh = `${path}.${process.pid}`;
  try {
    await mkdir(dirname(path), { recursive: true, mode: PRIVATE_FOLDER });
    await rm(fresh, { force: true });
    await writeFile(fresh, text, { mode: PRIVATE, flag: 'wx' });
    await rename(fresh, path);
    return true;
  } catch {
    await rm(fresh, { force: true }).catch(() => undefined);
    return false;
  }
}
