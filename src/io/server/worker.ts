import { parentPort, workerData } from 'node:worker_threads';
import type { SessionMessage } from '../../core/monitor/index.js';
import { LeewayError } from '../leeway-error.js';
import { FeedServer } from './feed-server.js';
import { lowerPriority } from './lower-priority.js';
import type { ServerStart } from './protocol.js';

/** The server's thread: passes messages between session and server. */
const port = parentPort;
/** How much this thread lowers its priority, as of nice(1): with too few processors the music comes first. */
const NICENESS = 10;
if (port === null) throw new Error('This file is run as a worker thread.');
lowerPriority(NICENESS);
try {
  const server = new FeedServer(workerData as ServerStart, (message) => port.postMessage(message));
  port.on('message', (message: SessionMessage | 'close') => {
    if (message !== 'close') server.take(message);
    else void server.close().then(() => port.close());
  });
  server.open();
} catch (error) {
  if (!(error instanceof LeewayError)) throw error;
  port.postMessage({ kind: 'refused', code: error.code, message: error.message });
}
