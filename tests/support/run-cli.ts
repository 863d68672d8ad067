import { PassThrough, Readable } from 'node:stream';
import { run } from '../../src/cli/index.js';
import type { World } from '../../src/cli/world.js';
import { CLOCK } from '../../src/io/clock/index.js';

/** What a command printed, and its exit code. */
export interface CliRun {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/**
 * Runs a command within this process, off any terminal.
 * @param options.hears told of each piece the command prints, as it prints it
 */
export async function runCli(
  argv: readonly string[],
  options: { terminal?: boolean; hears?: (piece: string) => void } & Partial<World> = {},
): Promise<CliRun> {
  const { terminal, hears, ...changes } = options;
  const [stdout, stderr] = [open(terminal, hears), open(terminal)];
  const code = await run(argv, { ...createWorld(), stdout, stderr, ...changes });
  return { code, out: readAll(stdout), err: readAll(stderr) };
}

/** A world with nothing in it. */
export function createWorld(): World {
  return {
    stdin: Readable.from([]),
    stdout: open(),
    stderr: open(),
    env: {},
    clock: CLOCK,
    goFirst: () => Promise.resolve(false),
    openPorts: () => Promise.reject(new Error('This test has no ports.')),
    on: () => () => {},
  };
}

function open(terminal = false, hears: (piece: string) => void = () => {}): PassThrough & { isTTY: boolean } {
  const transform = (piece: Buffer, _encoding: string, done: (error: null, piece: Buffer) => void) => {
    hears(String(piece));
    done(null, piece);
  };
  return Object.assign(new PassThrough({ highWaterMark: 2 ** 30, transform }), { isTTY: terminal });
}

const readAll = (stream: PassThrough): string => String(stream.read() ?? '');
