import { execFileSync } from 'node:child_process';
import { readlinkSync } from 'node:fs';
import { getPriority, setPriority } from 'node:os';
import { basename } from 'node:path';

/** The farthest back there is. */
const MOST = 19;

/**
 * Lets this thread stand back behind the others of the program, as of nice(1): it has left the real-time policy that the
 * thread which made it may have (`goFirst` of the clock), and where there are too few processors the others have them first.
 *
 * Linux alone: there a thread has a priority of its own. Elsewhere it would hold for the whole program, and nothing is done.
 *
 * @param by how much more it stands back than it does, 0..19: a program that is run under nice(1) stands back already, and
 *   may not come forward
 */
export function standBack(by: number): void {
  if (process.platform !== 'linux') return;
  try {
    const thread = basename(readlinkSync('/proc/thread-self'));
    execFileSync('chrt', ['-o', '-p', '0', thread], { stdio: 'ignore' });
  } catch {
    // Without chrt, the program didn't go first either.
  }
  setPriority(Math.min(MOST, getPriority() + by));
}
