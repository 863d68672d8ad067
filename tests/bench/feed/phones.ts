import { connect } from 'node:net';
import { setPriority } from 'node:os';

/**
 * Onlookers at a relay, in a process of their own: `node phones.js PORT COUNT packed|plain`. Plain sockets, since a
 * computer has no time to unpack for thousands of phones. Says "ready" when all have a message. From "count" on it takes
 * the time of each message of each phone; after "report" it sends them and begins anew.
 */
const [port = '', count = '0', manner] = process.argv.slice(2);
/** Connections that are made at a time. */
const AT_ONCE = 25;
const PONG = Buffer.from([0x8a, 0x80, 0, 0, 0, 0]);

// Phones are other computers: here they get what the relay and the music leave.
setPriority(19);

/** When each message came, by its number, in milliseconds of the system's clock. */
let timesMs: number[][] = [];
let bytes = 0;
let closed = 0;
/** Changes with each "count", so that every phone numbers from 0 again. */
let round = 0;

/** Takes whole frames from the front of what came (RFC 6455, 5.2; a server doesn't mask). @returns the rest */
function readFrames(data: Buffer, take: (opcode: number) => void): Buffer {
  let at = 0;
  while (data.length - at >= 2) {
    let head = 2;
    let length = data[at + 1] & 127;
    if (length >= 126) {
      head = length === 126 ? 4 : 10;
      if (data.length - at < head) break;
      length = length === 126 ? data.readUInt16BE(at + 2) : Number(data.readBigUInt64BE(at + 2));
    }
    if (data.length - at < head + length) break;
    take(data[at] & 15);
    at += head + length;
  }
  return data.subarray(at);
}

function join(): Promise<void> {
  return new Promise((resolve, reject) => {
    const socket = connect(Number(port), '127.0.0.1');
    const offer = manner === 'packed' ? 'Sec-WebSocket-Extensions: permessage-deflate\r\n' : '';
    socket.write(
      `GET /feed HTTP/1.1\r\nHost: 127.0.0.1\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n${offer}\r\n`,
    );
    let rest: Buffer = Buffer.alloc(0);
    let isOpen = false;
    let [itsRound, n] = [0, 0];
    const take = (opcode: number): void => {
      if (opcode === 9) socket.write(PONG);
      if (opcode !== 1) return;
      resolve();
      if (itsRound !== round) [itsRound, n] = [round, 0];
      if (round === 0) return;
      timesMs[n] ??= [];
      timesMs[n++].push(performance.timeOrigin + performance.now());
    };
    socket.on('error', reject);
    socket.on('close', () => closed++);
    socket.on('data', (data) => {
      bytes += data.length;
      rest = rest.length === 0 ? data : Buffer.concat([rest, data]);
      if (!isOpen) {
        const end = rest.indexOf('\r\n\r\n');
        if (end < 0) return;
        isOpen = true;
        rest = rest.subarray(end + 4);
      }
      rest = readFrames(rest, take);
    });
  });
}

for (let made = 0; made < Number(count); made += AT_ONCE) {
  await Promise.all(Array.from({ length: Math.min(AT_ONCE, Number(count) - made) }, join));
}
process.send?.({ kind: 'ready' });
process.on('message', (asked) => {
  if (asked === 'count') {
    round++;
    timesMs = [];
    bytes = 0;
  } else {
    process.send?.({ kind: 'report', timesMs, bytes, closed });
  }
});
process.on('disconnect', () => process.exit());
