import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';

/** How a run of the program went. */
export interface RetuneRun {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
  readonly seconds: number;
  /** Most memory the whole program had at once, threads and all; undefined where it was killed. */
  readonly megabytes: number | undefined;
}

/** Loaded before the program: says at its end, on a pipe of its own, how much memory it had at most. */
const TELL_MEMORY = `import { writeSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';
if (isMainThread) process.on('exit', () => writeSync(3, String(process.resourceUsage().maxRSS)));`;

/** Runs `leeway retune` as a program of its own, so that its time and memory are its own too. */
export function runRetune(argv: readonly string[]): { child: ChildProcess; done: Promise<RetuneRun> } {
  const start = performance.now();
  const preload = `--import=data:text/javascript,${encodeURIComponent(TELL_MEMORY)}`;
  const child = spawn(process.execPath, [preload, join('bin', 'leeway.js'), 'retune', ...argv], {
    stdio: ['ignore', 'pipe', 'pipe', 'pipe'],
  });
  const texts = [1, 2, 3].map((from) => {
    const chunks: Buffer[] = [];
    child.stdio[from]?.on('data', (chunk: Buffer) => chunks.push(chunk));
    return () => Buffer.concat(chunks).toString();
  });
  const done = new Promise<RetuneRun>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => {
      const [out, err, kilobytes] = texts.map((text) => text());
      const megabytes = kilobytes === '' ? undefined : Number(kilobytes) / 1024;
      resolve({ code, out, err, seconds: (performance.now() - start) / 1000, megabytes });
    });
  });
  return { child, done };
}
