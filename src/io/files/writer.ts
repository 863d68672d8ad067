import { readFileSync, readlinkSync } from 'node:fs';
import { hostname } from 'node:os';
import process from 'node:process';

/** A process that writes files, with enough data for a later one to find whether it still runs. */
export interface Writer {
  /** Eight hexadecimal digits. Processes that can't see each other, as in two containers, have different ones. */
  readonly computer: string;
  readonly pid: number;
  /** Its start, in ticks since the computer was started; 0 on systems without it (all but Linux). */
  readonly startedAt: number;
}

/** Field 22 of /proc/PID/stat, counted from behind the name, which may hold anything. See proc_pid_stat(5). */
const START_BEHIND_NAME = 19;

let itself: Writer | undefined;

/** This process; the same in each of its threads. @example toThisWriter().pid === process.pid  // true */
export function toThisWriter(): Writer {
  itself ??= { computer: toComputer(), pid: process.pid, startedAt: readStart(process.pid) };
  return itself;
}

/**
 * Whether a process of this computer still runs. A reused number doesn't count, if the system gives the time of its
 * start; else the answer is yes.
 */
export function isRunning({ pid, startedAt }: Pick<Writer, 'pid' | 'startedAt'>): boolean {
  try {
    process.kill(pid, 0);
  } catch (error) {
    // Another user's process can't be signalled, but exists.
    if ((error as NodeJS.ErrnoException).code !== 'EPERM') return false;
  }
  const start = readStart(pid);
  return start === 0 || startedAt === 0 || start === startedAt;
}

function readStart(pid: number): number {
  const stat = orEmpty(() => readFileSync(`/proc/${pid}/stat`, 'latin1'));
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  return Number(fields[START_BEHIND_NAME] ?? 0);
}

/** Identifies a set of processes that see each other: one computer, and on Linux one namespace of process numbers. */
function toComputer(): string {
  const machine = orEmpty(() => readFileSync('/etc/machine-id', 'latin1'));
  const numbering = orEmpty(() => readlinkSync('/proc/self/ns/pid'));
  return toHash(`${hostname()}\n${machine}\n${numbering}`);
}

/** Eight hexadecimal digits: FNV-1a of 32 bits, which starts sooner than Node's own hashes (6 ms). */
function toHash(text: string): string {
  let hash = 0x811c9dc5;
  for (const byte of Buffer.from(text)) hash = Math.imul(hash ^ byte, 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}

function orEmpty(read: () => string): string {
  try {
    return read();
  } catch {
    return '';
  }
}
