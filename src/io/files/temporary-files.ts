import { unlinkSync } from 'node:fs';
import { lstat, readdir, unlink } from 'node:fs/promises';
import { join } from 'node:path';
import process from 'node:process';
import { isRunning, toThisWriter } from './writer.js';

/** Files that are not whole yet are called `.leeway-COMPUTER-PROCESS-START-RANDOM.tmp`: no input, and nobody's final name. */
const NAME = /^\.leeway-([0-9a-f]{8})-(\d+)-(\d+)-[0-9a-f]{16}\.tmp$/;
/** Of a process on another computer nothing is known; but nobody writes for so long without a byte. */
const OLD_MS = 7 * 24 * 3_600_000;
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** Folders this process has looked through. */
const swept = new Set<string>();
/** What this thread is writing. */
const unfinished = new Set<string>();

/** A path beside a file to be written, short enough where the file's own name is as long as the system allows. */
export function nameTemporary(folder: string): string {
  const { computer, pid, startedAt } = toThisWriter();
  return join(folder, `.leeway-${computer}-${pid}-${startedAt}-${toRandom()}${toRandom()}.tmp`);
}

/** Eight random hexadecimal digits. */
function toRandom(): string {
  return Math.floor(Math.random() * 2 ** 32)
    .toString(16)
    .padStart(8, '0');
}

/**
 * Removes what killed processes have left in a folder: what one of this computer wrote that runs no more, and what one of
 * another computer hasn't touched for a week. All else stays: whatever a running process writes, however long it has been
 * at it, links, folders, and all that has another name. Looks once a process and folder. Never rejects.
 */
export async function removeLeftovers(folder: string): Promise<void> {
  if (swept.has(folder)) return;
  swept.add(folder);
  const names = await readdir(folder).catch(() => []);
  for (const name of names)
    if (await isLeftover(folder, name)) await unlink(join(folder, name)).catch(() => undefined);
}

async function isLeftover(folder: string, name: string): Promise<boolean> {
  const parts = NAME.exec(name);
  if (parts === null) return false;
  const found = await lstat(join(folder, name)).catch(() => undefined);
  if (!found?.isFile()) return false;
  const [, computer, pid, startedAt] = parts;
  if (computer !== toThisWriter().computer) return Date.now() - found.mtimeMs > OLD_MS;
  return !isRunning({ pid: Number(pid), startedAt: Number(startedAt) });
}

/**
 * From now on a signal that ends the process removes the file first. Where somebody else listens for the signal, the ending
 * is theirs. In a thread no signal is heard: there a leftover waits for {@link removeLeftovers}.
 *
 * A listener keeps a signal from ending a process at once, however long it computes; so it is only there while a file is
 * being written.
 */
export function guardTemporary(path: string): void {
  if (unfinished.size === 0) for (const signal of SIGNALS) process.on(signal, endBy);
  unfinished.add(path);
}

/** The file has come to its place, or is gone. */
export function releaseTemporary(path: string): void {
  if (!unfinished.delete(path) || unfinished.size > 0) return;
  for (const signal of SIGNALS) process.off(signal, endBy);
}

function endBy(signal: NodeJS.Signals): void {
  if (process.listenerCount(signal) > 1) return;
  for (const path of unfinished) {
    try {
      unlinkSync(path);
    } catch {
      // It is gone already, or stays for the next run.
    }
  }
  unfinished.clear();
  for (const one of SIGNALS) process.off(one, endBy);
  process.kill(process.pid, signal);
}
