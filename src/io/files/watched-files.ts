import { unwatchFile, watchFile } from 'node:fs';

/** Period of checks of a watched file, in milliseconds. */
const LOOK_MS = 500;

/**
 * Watches files that belong together, for one to be written, replaced or made.
 *
 * @example a settings file, and the presets that it loads
 */
export class WatchedFiles {
  readonly #changed: () => void;
  readonly #endings = new Map<string, () => void>();

  constructor(changed: () => void) {
    this.#changed = changed;
  }

  /** Watches these from now on, and no others. */
  watch(paths: readonly string[]): void {
    for (const [path, end] of this.#endings) {
      if (paths.includes(path)) continue;
      end();
      this.#endings.delete(path);
    }
    for (const path of paths)
      if (!this.#endings.has(path)) this.#endings.set(path, watchForChanges(path, this.#changed));
  }
}

/**
 * Calls `changed` after a file was written, replaced or made. Polling also sees editors that replace the old file by a
 * new one.
 * @returns ends it
 */
function watchForChanges(path: string, changed: () => void): () => void {
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
