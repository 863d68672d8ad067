import type { Readable, Writable } from 'node:stream';

/** A stream that may be a terminal. */
export type Output = Writable & { readonly isTTY?: boolean; readonly columns?: number };

/** What a command sees of the world beside files. Tests pass their own. */
export interface World {
  readonly stdin: Readable;
  readonly stdout: Output;
  readonly stderr: Output;
  readonly env: Readonly<Record<string, string | undefined>>;
}
