import { execFile } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { getPriority } from 'node:os';

/** Above every program with a normal policy, and below audio servers and drivers, which use 10 and more. */
const MUSIC = 5;
/** For threads the music's thread depends on: it waits for them sometimes, at a lock or for a collection. */
const HELPERS = 1;

/**
 * Gives this process's main thread a real-time policy, and its present other threads the next lower one, since it may
 * wait for them: Node's own threads, which collect garbage, compile and write files. Threads with lowered priority
 * (`lowerPriority` of the server) stay there. Later threads of the main one inherit its policy, such as those in which a
 * MIDI driver listens.
 *
 * A Node process can't set a real-time policy itself, so Linux's chrt does. Without it, or without permission, nothing
 * changes.
 *
 * @returns whether the main thread has the policy now
 * @see sched(7), chrt(1); who may: RLIMIT_RTPRIO in getrlimit(2)
 */
export async function goFirst(): Promise<boolean> {
  if (process.platform !== 'linux') return false;
  const helpers = listHelpers(process.pid);
  if (!(await setRealTime(process.pid, MUSIC))) return false;
  await Promise.all(helpers.map((thread) => setRealTime(thread, HELPERS)));
  return true;
}

/** The other threads with the main one's policy. */
function listHelpers(main: number): number[] {
  const usual = getPriority(main);
  return readdirSync('/proc/self/task')
    .map(Number)
    .filter((thread) => thread !== main && isAt(thread, usual));
}

function isAt(thread: number, niceness: number): boolean {
  try {
    return getPriority(thread) === niceness;
  } catch {
    return false; // It has ended meanwhile.
  }
}

/** @returns whether it was allowed */
function setRealTime(thread: number, priority: number): Promise<boolean> {
  return new Promise((resolve) => {
    execFile('chrt', ['-r', '-p', String(priority), String(thread)], (error) => resolve(error === null));
  });
}
