import process from 'node:process';
import { BroadcastChannel, isMainThread } from 'node:worker_threads';

/**
 * Loaded before the program, in each of its threads: when the parent process sends a message, every thread but the main
 * one throws, out of anybody's reach, as a fault of our own would.
 */
const faults = new BroadcastChannel('faults on purpose');
faults.unref();
if (isMainThread) {
  process.on('message', () => faults.postMessage('now'));
  // A message that may come is no reason to stay.
  process.channel?.unref();
} else {
  faults.onmessage = () => {
    throw new Error('a fault on purpose');
  };
}
