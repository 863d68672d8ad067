import { get } from 'node:http';
import { connect } from 'node:net';

/**
 * Half a request has no answer. So once all is sent, another connection asks for the page; after its answer ours has come
 * or won't, and is waited for until it has been quiet for so long, and no longer in all.
 */
const QUIET_MS = 50;
const LONGEST_MS = 400;
/** Until it can be sent and the page comes, on a machine that may be busy. */
const OPENING_MS = 30_000;
const MOST_BYTES = 4 * 2 ** 20;

/**
 * Sends bytes over a connection of its own, in a few pieces, and gives all that comes back.
 *
 * @param opening sent before them; they follow as soon as anything has come back
 */
export function exchange(
  { host, port }: { readonly host: string; readonly port: number },
  sends: Uint8Array,
  opening?: string,
): Promise<Buffer> {
  return new Promise((resolve) => {
    const came: Buffer[] = [];
    let bytes = 0;
    let isSent = false;
    const socket = connect(port, host);
    let late = setTimeout(() => done(), OPENING_MS);
    const done = (): void => {
      clearTimeout(late);
      socket.destroy();
      resolve(Buffer.concat(came));
    };
    const settle = (): void => {
      if (socket.destroyed) return;
      clearTimeout(late);
      late = setTimeout(done, LONGEST_MS);
      socket.setTimeout(QUIET_MS, done);
    };
    const send = (): void => {
      isSent = true;
      get({ host, port, agent: false }, (page) => page.on('close', settle).resume()).on('error', settle);
      const cut = sends.length >> 1;
      socket.write(sends.subarray(0, cut));
      socket.write(sends.subarray(cut));
    };
    socket.setNoDelay(true);
    socket.on('error', done).on('close', done);
    socket.on('connect', () => (opening === undefined ? send() : socket.write(opening)));
    socket.on('data', (piece) => {
      came.push(piece);
      bytes += piece.length;
      if (!isSent) send();
      if (bytes > MOST_BYTES) done();
    });
  });
}
