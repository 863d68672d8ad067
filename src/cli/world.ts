import type { Readable, Writable } from 'node:stream';
import type { Clock } from '../io/clock/index.js';
import type { PortSystem } from '../io/ports/index.js';

/** A stream that may be a terminal. */
export type OutputStream = Writable & { readonly isTTY?: boolean; readonly columns?: number };

/**
 * What the system may ask of a program that runs on; `fault` is an error nobody caught, `abandoned` says that npm, which
 * started it, is gone.
 */
export type Signal = 'SIGINT' | 'SIGTERM' | 'SIGHUP' | 'SIGUSR1' | 'SIGUSR2' | 'fault' | 'abandoned' | 'exit';

/** What a command sees of the world beside files. Tests pass their own. */
export interface World {
  readonly stdin: Readable;
  readonly stdout: OutputStream;
  readonly stderr: OutputStream;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly clock: Clock;
  /** Asks the system to let the music go before other programs. @returns whether it does */
  readonly goFirst: () => Promise<boolean>;
  /** Opens the MIDI ports of this computer. Rejects with a LeewayError, exit code 3, that says what is missing. */
  readonly openPorts: () => Promise<PortSystem>;
  /** Calls `run` each time it is asked for. @returns ends it */
  readonly on: (signal: Signal, run: (cause?: unknown) => void) => () => void;
}
