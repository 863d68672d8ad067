import { unwatchFile, watchFile } from 'node:fs';

/** Period of checks of a watched file, in milliseconds. */
const LOOK_MS = 500;

/**
 * Calls `changed` after a file was written, replaced or made. Polling also sees editors that replace the old file by a
 * new one.
 * @returns ends it
 */
export function watchForChanges(path: string, changed: () => void): () => void {
  const listener = (
    now: { mtimeMs: number; size: number },
    before: { mtimeMs: number; size: number },
  ): void => {
    const isThere = now.mtimeMs > 0;
    if (isThere && (now.mtimeMs !== before.mtimeMs || now.size !== before.size)) changed();
  };
  watchFile(path, { interval: LOOK_MS, persistent: false }, listener);
  return () => unwatchFile(path, listener);
}
