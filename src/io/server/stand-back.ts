import { execFileSync } from 'node:child_process';
import { readlinkSync } from 'node:fs';
import { setPriority } from 'node:os';
import { basename } from 'node:path';

/**
 * Lets this thread stand back behind the others of the program, as of nice(1): it has left the real-time policy that the
 * thread which made it may have (`goFirst` of the clock), and where there are too few processors the others have them first.
 *
 * Linux alone: there a thread has a priority of its own. Elsewhere it would hold for the whole program, and nothing is done.
 *
 * @param niceness 0..19
 */
export function standBack(niceness: number): void {
  if (process.platform !== 'linux') return;
  try {
    const thread = basename(readlinkSync('/proc/thread-self'));
    execFileSync('chrt', ['-o', '-p', '0', thread], { stdio: 'ignore' });
  } catch {
    // Without chrt, the program didn't go first either.
  }
  setPriority(niceness);
}
