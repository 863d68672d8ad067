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

/** Runs a command within this process, off any terminal. */
export async function runCli(
  argv: readonly string[],
  options: { terminal?: boolean } & Partial<World> = {},
): Promise<CliRun> {
  const { terminal, ...changes } = options;
  const [stdout, stderr] = [open(terminal), open(terminal)];
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

function open(terminal = false): PassThrough & { isTTY: boolean } {
  return Object.assign(new PassThrough({ highWaterMark: 2 ** 30 }), { isTTY: terminal });
}

function readAll(stream: PassThrough): string {
  return String(stream.read() ?? '');
}
