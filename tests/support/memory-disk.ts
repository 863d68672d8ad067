import type { OpenFile, OpenNew } from '../../src/io/files/index.js';

/** One write, as the system was asked for it. */
export interface DiskWrite {
  readonly path: string;
  readonly bytes: Uint8Array;
  readonly position: number;
}

/** Files in memory, with everything that was written to them in order, and faults on purpose. */
export class MemoryDisk {
  readonly writes: DiskWrite[] = [];
  readonly closed: string[] = [];
  /** Whether the n-th write, from 1, fails for want of space. */
  isFull: (n: number) => boolean = () => false;
  /** How many bytes one write takes at most. */
  mostBytes = Number.POSITIVE_INFINITY;
  /** Whether files were removed while they were open. */
  isRemoved = false;

  readonly openNew: OpenNew = async (path): Promise<OpenFile> => ({
    write: async (bytes, offset, length, position) => {
      if (this.isFull(this.writes.length + 1)) {
        this.writes.push({ path, bytes: new Uint8Array(0), position });
        throw Object.assign(new Error('no space left on device'), { code: 'ENOSPC' });
      }
      const bytesWritten = Math.min(length, this.mostBytes);
      this.writes.push({ path, bytes: bytes.slice(offset, offset + bytesWritten), position });
      return { bytesWritten };
    },
    stat: async () => ({ nlink: this.isRemoved ? 0 : 1 }),
    close: async () => void this.closed.push(path),
  });

  /** What a file holds now. */
  read(path: string): Uint8Array {
    return replay(this.writes.filter((write) => write.path === path));
  }
}

/** A file to which these writes were made. */
export function replay(writes: readonly Omit<DiskWrite, 'path'>[]): Uint8Array {
  const length = Math.max(0, ...writes.map(({ bytes, position }) => position + bytes.length));
  const file = new Uint8Array(length);
  for (const { bytes, position } of writes) file.set(bytes, position);
  return file;
}
