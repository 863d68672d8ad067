import { execFileSync } from 'node:child_process';
import { chmod, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';

/** A fresh folder for each test of the file, gone after it. Call the result for its path. */
export function useTemporaryFolder(): () => string {
  let folder = '';
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'leeway-test-'));
    await chmod(folder, 0o755);
  });
  afterEach(async () => {
    await rm(folder, { recursive: true, force: true });
  });
  return () => folder;
}

const NOBODY = 65534;

/** Does something without the rights of root, for whom no file is forbidden. */
export async function withoutRights<T>(action: () => Promise<T>): Promise<T> {
  const user = process.getuid?.();
  if (user === 0) process.seteuid?.(NOBODY);
  try {
    return await action();
  } finally {
    if (user === 0) process.seteuid?.(0);
  }
}

/** Makes a named pipe. */
export function makePipe(path: string): void {
  execFileSync('/bin/sh', ['-c', 'mkfifo "$0"', path]);
}
