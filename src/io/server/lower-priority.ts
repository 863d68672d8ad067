import { execFileSync } from 'node:child_process';
import { readlinkSync } from 'node:fs';
import { getPriority, setPriority } from 'node:os';
import { basename } from 'node:path';

const MOST = 19;

/**
 * Lowers this thread's priority against the program's other threads, as of nice(1). It leaves the real-time policy it
 * may have inherited (`goFirst` of the clock), and with too few processors the other threads come first.
 *
 * Only on Linux, where each thread has a separate priority. Elsewhere it would hold for the whole program, and nothing
 * is done.
 *
 * @param by how much to lower it, 0..19: a program run under nice(1) has a lower priority already, and
 *   may not raise it
 */
export function lowerPriority(by: number): void {
  if (process.platform !== 'linux') return;
  try {
    const thread = basename(readlinkSync('/proc/thread-self'));
    execFileSync('chrt', ['-o', '-p', '0', thread], { stdio: 'ignore' });
  } catch {
    // Without chrt the program had no real-time policy either.
  }
  setPriority(Math.min(MOST, getPriority() + by));
}
