import { type FileHandle, open } from 'node:fs/promises';
import { folderError, toFileError, tooBigError } from './file-problems.js';

const LIMIT_BYTES = 256 * 2 ** 20;
const FIRST_BUFFER_BYTES = 64 * 1024;

/**
 * The whole of a file, a pipe or a device.
 *
 * Throws a LeewayError: FILE_MISSING, FILE_IS_FOLDER, FILE_FORBIDDEN, FILE_TOO_BIG (found while reading, so an
 * endless pipe ends there too), FILE_FAILED.
 *
 * @param limitBytes most bytes it takes; default 256 MiB
 * @example await readInput('missing.mid')  // throws LeewayError: FILE_MISSING
 */
export async function readInput(path: string, limitBytes: number = LIMIT_BYTES): Promise<Uint8Array> {
  try {
    const file = await open(path, 'r');
    try {
      const stat = await file.stat();
      if (stat.isDirectory()) throw folderError('read', path);
      if (stat.size > limitBytes) throw tooBigError(path, limitBytes);
      return await readAll(file, path, stat.size, limitBytes);
    } finally {
      await file.close();
    }
  } catch (error) {
    throw toFileError(error, 'read', path);
  }
}

/** The size is a hint: pipes have none, and a file may grow while it is read. */
async function readAll(
  file: FileHandle,
  path: string,
  sizeHint: number,
  limitBytes: number,
): Promise<Uint8Array> {
  let buffer = new Uint8Array(sizeHint > 0 ? sizeHint + 1 : FIRST_BUFFER_BYTES);
  let length = 0;
  for (;;) {
    const { bytesRead } = await file.read(buffer, length, buffer.length - length);
    if (bytesRead === 0) return buffer.subarray(0, length);
    length += bytesRead;
    if (length > limitBytes) throw tooBigError(path, limitBytes);
    if (length === buffer.length) {
      const longer = new Uint8Array(2 * length);
      longer.set(buffer);
      buffer = longer;
    }
  }
}
