import { unwatchFile, watchFile } from 'node:fs';

/** How often a watched file is looked at, in milliseconds. */
const LOOK_MS = 500;

/**
 * Calls `changed` after a file was written, replaced or made. A look now and then sees what editors do, which is often
 * to put a new file in the place of the old one.
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
