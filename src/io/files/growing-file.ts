import { open, unlink } from 'node:fs/promises';
import { toFileError } from './file-problems.js';

/** The operations of an open file that are needed; `FileHandle` of node:fs has them. */
export interface OpenFile {
  write(
    bytes: Uint8Array,
    offset: number,
    length: number,
    position: number,
  ): Promise<{ bytesWritten: number }>;
  stat(): Promise<{ nlink: number }>;
  close(): Promise<void>;
}

/** Makes a new file and opens it; rejects if one exists. Tests pass their own, with faults. */
export type OpenNew = (path: string) => Promise<OpenFile>;

const openOnDisk: OpenNew = (path) => open(path, 'wx');

/**
 * A file that is written piece by piece while the program runs. Each piece is with the system before its promise
 * resolves, so that it survives a kill of the program. It isn't flushed to the disk, so it may not survive a power cut.
 *
 * One call at a time. Rejects with a LeewayError: FILE_NO_FOLDER (also once the file was removed), FILE_FORBIDDEN,
 * FILE_NO_SPACE, FILE_FAILED.
 */
export class GrowingFile {
  readonly path: string;
  readonly #file: OpenFile;

  private constructor(path: string, file: OpenFile) {
    this.path = path;
    this.#file = file;
  }

  /** Makes the file. An existing one is never touched: FILE_FAILED. */
  static async create(path: string, openNew: OpenNew = openOnDisk): Promise<GrowingFile> {
    try {
      return new GrowingFile(path, await openNew(path));
    } catch (error) {
      throw toFileError(error, 'write', path);
    }
  }

  /** Writes bytes at a place, the end of the file or before it. */
  async write(bytes: Uint8Array, position: number): Promise<void> {
    try {
      let written = 0;
      while (written < bytes.length) {
        const { bytesWritten } = await this.#file.write(
          bytes,
          written,
          bytes.length - written,
          position + written,
        );
        written += bytesWritten;
      }
    } catch (error) {
      throw toFileError(error, 'write', this.path);
    }
  }

  /** Rejects if the file was removed while it was open: most systems would continue writing, into nothing. */
  async check(): Promise<void> {
    try {
      if ((await this.#file.stat()).nlink === 0)
        throw Object.assign(new Error('the file was removed'), { code: 'ENOENT' });
    } catch (error) {
      throw toFileError(error, 'write', this.path);
    }
  }

  async close(): Promise<void> {
    try {
      await this.#file.close();
    } catch (error) {
      throw toFileError(error, 'write', this.path);
    }
  }

  /** Closes and removes it, since it holds nothing useful. Never rejects. */
  async remove(): Promise<void> {
    await this.#file.close().catch(() => undefined);
    await unlink(this.path).catch(() => undefined);
  }
}
