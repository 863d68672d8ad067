import { execFile } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { getPriority } from 'node:os';

/** Above every program that asks for nothing, and below audio servers and drivers, which ask for 10 and more. */
const MUSIC = 5;
/** For what works for the music's thread: that one waits for them now and then, at a lock or for a collection. */
const HELPERS = 1;

/**
 * Asks the system to let this process's main thread run before other programs whenever it has something to do, and the
 * threads that are there already next after it, so that it never waits for one that waits for another program: Node's
 * own, which collect garbage, compile and write files. Those that have stood back (`standBack` of the server) stay back.
 * Threads that the main one makes from then on go first as it does, such as those in which a MIDI driver listens.
 *
 * A Node process can't set a real-time policy itself, so Linux's own little program does; where it isn't there, or
 * whoever runs us may not ask for it, everything stays as it is.
 *
 * @returns whether the main thread goes first now
 * @see sched(7), chrt(1); who may: RLIMIT_RTPRIO in getrlimit(2)
 */
export async function goFirst(): Promise<boolean> {
  if (process.platform !== 'linux') return false;
  const helpers = listHelpers(process.pid);
  if (!(await setRealTime(process.pid, MUSIC))) return false;
  await Promise.all(helpers.map((thread) => setRealTime(thread, HELPERS)));
  return true;
}

/** The other threads that run as the main one does. */
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
