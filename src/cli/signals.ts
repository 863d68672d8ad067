import process from 'node:process';
import type { Signal } from './world.js';

/**
 * What the system asks of this process. A signal the system doesn't have is never asked for.
 * @param run told the error, of a `fault`
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
  const listener = () => run();
  process.on(signal, listener);
  return () => process.off(signal, listener);
}
