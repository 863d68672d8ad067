import { PassThrough, Readable } from 'node:stream';
import { run } from '../../src/cli/index.js';

/** What a command printed, and its exit code. */
export interface CliRun {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs a command within this process, off any terminal. */
export async function runCli(argv: readonly string[], options: { terminal?: boolean } = {}): Promise<CliRun> {
  const [stdout, stderr] = [open(options.terminal), open(options.terminal)];
  const code = await run(argv, { stdin: Readable.from([]), stdout, stderr, env: {} });
  return { code, out: readAll(stdout), err: readAll(stderr) };
}

function open(terminal = false): PassThrough & { isTTY: boolean } {
  return Object.assign(new PassThrough({ highWaterMark: 2 ** 30 }), { isTTY: terminal });
}

function readAll(stream: PassThrough): string {
  return String(stream.read() ?? '');
}
