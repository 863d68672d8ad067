import type { Readable, Writable } from 'node:stream';
import type { Clock } from '../io/clock/index.js';
import type { PortSystem } from '../io/ports/index.js';

/** A stream that may be a terminal. */
export type OutputStream = Writable & { readonly isTTY?: boolean; readonly columns?: number };

/**
 * Signals to a running program; `fault` is an uncaught error, `abandoned` means that npm, which started it, has ended.
 */
export type Signal = 'SIGINT' | 'SIGTERM' | 'SIGHUP' | 'SIGUSR1' | 'SIGUSR2' | 'fault' | 'abandoned' | 'exit';

/** A command's access to the world beside files. Tests pass their own. */
export interface World {
  readonly stdin: Readable;
  readonly stdout: OutputStream;
  readonly stderr: OutputStream;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly clock: Clock;
  /** Gives the music's thread a real-time policy. @returns whether it has it */
  readonly goFirst: () => Promise<boolean>;
  /** Opens the MIDI ports of this computer. Rejects with a LeewayError, exit code 3, that says what is missing. */
  readonly openPorts: () => Promise<PortSystem>;
  /** Calls `run` at each such signal. @returns ends it */
  readonly on: (signal: Signal, run: (cause?: unknown) => void) => () => void;
}
