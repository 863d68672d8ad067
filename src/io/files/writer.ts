import { readFileSync, readlinkSync } from 'node:fs';
import { hostname } from 'node:os';
import process from 'node:process';

/** A process that writes files, told well enough that a later one can say whether it still runs. */
export interface Writer {
  /** Eight hexadecimal digits. Processes that can't see each other, as in two containers, have different ones. */
  readonly computer: string;
  readonly pid: number;
  /** When it began, in ticks since the computer was started; 0 where the system doesn't tell (it is Linux that does). */
  readonly startedAt: number;
}

/** Field 22 of /proc/PID/stat, counted from behind the name, which may hold anything. See proc_pid_stat(5). */
const START_BEHIND_NAME = 19;

let itself: Writer | undefined;

/** The process this runs in; in each of its threads the same. @example toThisWriter().pid === process.pid  // true */
export function toThisWriter(): Writer {
  itself ??= { computer: toComputer(), pid: process.pid, startedAt: readStart(process.pid) };
  return itself;
}

/**
 * Whether a process of this computer still runs. A number that was given to another process since doesn't count, where the
 * system tells when that began; where it doesn't, the answer is yes.
 */
export function isRunning({ pid, startedAt }: Pick<Writer, 'pid' | 'startedAt'>): boolean {
  try {
    process.kill(pid, 0);
  } catch (error) {
    // One of another user's may not be asked, but is there.
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

/** What processes can see each other by their numbers: one computer, and on Linux one numbering of its processes. */
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
