import process from 'node:process';
import type { Signal } from './world.js';

/** Period of checks for npm, in milliseconds. */
const LOOK_MS = 500;

/**
 * Calls `run` on a signal to this process. A signal the system lacks never comes.
 * @param run called with the error of a `fault`
 * @returns ends it
 */
export function onSignal(signal: Signal, run: (cause?: unknown) => void): () => void {
  if (signal === 'fault') {
    process.on('uncaughtException', run);
    process.on('unhandledRejection', run);
    return () => {
      process.off('uncaughtException', run);
      process.off('unhandledRejection', run);
    };
  }
  if (signal === 'abandoned') return watchNpm(run);
  const listener = () => run();
  process.on(signal, listener);
  return () => process.off(signal, listener);
}

/**
 * npm runs a script in a shell. A signal to npm ends the shell, and the program would play on without a way to stop it.
 * So if npm started it, it ends with its parent.
 */
function watchNpm(run: () => void): () => void {
  if (process.env.npm_lifecycle_event === undefined) return () => {};
  const parent = process.ppid;
  const timer = setInterval(() => {
    if (process.ppid !== parent) run();
  }, LOOK_MS);
  timer.unref();
  return () => clearInterval(timer);
}
