import { once } from 'node:events';
import { readdirSync, readFileSync, readlinkSync } from 'node:fs';
import { basename } from 'node:path';
import process from 'node:process';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { goFirst } from '../../src/io/clock/index.js';
import { lowerPriority } from '../../src/io/server/lower-priority.js';

/** How the system runs a thread. */
export interface ThreadKind {
  readonly tid: number;
  /** 0 for the usual one, 2 for the real-time one that takes turns. */
  readonly policy: number;
  readonly realTime: number;
  readonly niceness: number;
}

/** What this program says, as one line of JSON. */
export interface GoneFirst {
  readonly isFirst: boolean;
  readonly main: number;
  /** Threads that were made before and after, each standing back or not. */
  readonly made: Readonly<Record<string, number>>;
  readonly threads: readonly ThreadKind[];
}

/** A thread's first lines: sources are run as they are in it, too. */
const START = `
  require('node:module').register(${JSON.stringify(new URL('./typescript-loader.mjs', import.meta.url).href)});
  void import(${JSON.stringify(import.meta.url)});
`;

/**
 * Run as a program of its own: goes first, with threads made before and after that, and says what became of each by the
 * kernel's own account. See proc(5), /proc/PID/task/TID/stat: 19 is the niceness, 40 the real-time priority, 41 the policy.
 */
if (isMainThread) {
  const made: Record<string, number> = {};
  const make = async (name: string, standsBack: boolean) => {
    const worker = new Worker(START, { eval: true, workerData: standsBack });
    const [tid] = await once(worker, 'message');
    made[name] = tid;
  };
  await make('before', false);
  await make('before, stood back', true);
  const isFirst = await goFirst();
  await make('after', false);
  await make('after, stood back', true);
  const threads = readdirSync('/proc/self/task').map((tid): ThreadKind => {
    const stat = readFileSync(`/proc/self/task/${tid}/stat`, 'utf8');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    const at = (number: number) => Number(fields[number - 3]);
    return { tid: Number(tid), niceness: at(19), realTime: at(40), policy: at(41) };
  });
  const told: GoneFirst = { isFirst, main: process.pid, made, threads };
  process.stdout.write(`${JSON.stringify(told)}\n`, () => process.exit());
} else {
  if (workerData === true) lowerPriority(10);
  parentPort?.postMessage(Number(basename(readlinkSync('/proc/thread-self'))));
  setInterval(() => {}, 1000);
}
