import { createHash, randomBytes } from 'node:crypto';
import { unlinkSync } from 'node:fs';
import { readdir, stat, unlink } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';

/** Files that are not whole yet are called `.leeway-COMPUTER-PROCESS-RANDOM.tmp`: no input, and nobody's final name. */
const NAME = /^\.leeway-([0-9a-f]{8})-(\d+)-[0-9a-f]{16}\.tmp$/;
/** Of a process on another computer nothing is known; but nobody writes for so long without a byte. */
const OLD_MS = 24 * 3_600_000;
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

const computer = createHash('sha256').update(hostname()).digest('hex').slice(0, 8);
/** Folders this process has looked through. */
const swept = new Set<string>();
/** What this thread is writing. */
const unfinished = new Set<string>();

/** A path beside a file to be written, short enough where the file's own name is as long as the system allows. */
export function nameTemporary(folder: string): string {
  return join(folder, `.leeway-${computer}-${process.pid}-${randomBytes(8).toString('hex')}.tmp`);
}

/**
 * Removes what killed processes have left in a folder: those of this computer that run no more, and whatever hasn't been
 * touched for a day. Looks once a process and folder. Never rejects.
 */
export async function removeLeftovers(folder: string): Promise<void> {
  if (swept.has(folder)) return;
  swept.add(folder);
  const names = await readdir(folder).catch(() => []);
  for (const name of names) {
    const parts = NAME.exec(name);
    if (parts === null) continue;
    const path = join(folder, name);
    const isGone = parts[1] === computer && !isRunning(Number(parts[2]));
    if (isGone || (await isOld(path))) await unlink(path).catch(() => undefined);
  }
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

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // One of another user's may not be asked, but is there.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

async function isOld(path: string): Promise<boolean> {
  const found = await stat(path).catch(() => undefined);
  return found !== undefined && Date.now() - found.mtimeMs > OLD_MS;
}
