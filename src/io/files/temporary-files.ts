import { unlinkSync } from 'node:fs';
import { lstat, readdir, unlink } from 'node:fs/promises';
import { join } from 'node:path';
import process from 'node:process';
import { isRunning, toThisWriter } from './writer.js';

/**
 * The names of unfinished files are `.leeway-COMPUTER-PROCESS-START-RANDOM.tmp`: never an input, and nobody's final
 * name.
 */
const NAME = /^\.leeway-([0-9a-f]{8})-(\d+)-(\d+)-[0-9a-f]{16}\.tmp$/;
/** Processes on another computer are unknown, but none writes for this long without a byte. */
const OLD_MS = 7 * 24 * 3_600_000;
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

const swept = new Set<string>();
const unfinished = new Set<string>();

/** A path beside a file to be written, short enough even if the file's own name has the longest allowed length. */
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
 * Removes leftovers of killed processes from a folder: files of ended processes of this computer, and files of other
 * computers unchanged for a week. Everything else stays: files of running processes, however old, links, folders, and
 * other names. Sweeps once a process and folder. Never rejects.
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
 * From now on a signal that ends the process removes the file first. If another listener has the signal, that one ends
 * the process. Threads get no signals: there a leftover waits for {@link removeLeftovers}. A listener delays a signal
 * as long as the process computes, so it is only there while a file is being written.
 */
export function guardTemporary(path: string): void {
  if (unfinished.size === 0) for (const signal of SIGNALS) process.on(signal, endBy);
  unfinished.add(path);
}

/** The file is in its place, or removed. */
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
      // It is removed already, or stays for the next run.
    }
  }
  unfinished.clear();
  for (const one of SIGNALS) process.off(one, endBy);
  process.kill(process.pid, signal);
}
