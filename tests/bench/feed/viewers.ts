import { setPriority } from 'node:os';
import { WebSocket } from 'ws';

/**
 * Many viewers in a process of their own: `node viewers.js ADDRESS COUNT [stalled]`. Connects them all, says "ready", and
 * each second what has come: frames and bytes, all viewers together. Stalled ones read nothing. The parent ends it.
 */
const [address = '', count = '0', manner] = process.argv.slice(2);
/** Connections that are made at a time. */
const AT_ONCE = 25;

// Viewers sit at other computers: here they get what the server and the music leave.
setPriority(19);

let messages = 0;
let bytes = 0;
let closed = 0;

function connect(): Promise<void> {
  return new Promise((resolve, reject) => {
    const socket = new WebSocket(address, { perMessageDeflate: false, skipUTF8Validation: true });
    if (manner === 'stalled') {
      // It takes its snapshot, and nothing more.
      socket.once('message', () => {
        socket.pause();
        resolve();
      });
    } else {
      socket.on('open', () => resolve());
    }
    socket.on('error', reject);
    socket.on('close', () => closed++);
    socket.on('message', (data: Buffer) => {
      messages++;
      bytes += data.length;
    });
  });
}

for (let made = 0; made < Number(count); made += AT_ONCE) {
  await Promise.all(Array.from({ length: Math.min(AT_ONCE, Number(count) - made) }, connect));
}
process.send?.({ kind: 'ready' });
setInterval(() => {
  if (process.connected) process.send?.({ kind: 'came', messages, bytes, closed });
}, 1000);
process.on('disconnect', () => process.exit());
