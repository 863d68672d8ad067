import { once } from 'node:events';
import type { Server } from 'node:http';
import { type AddressInfo, connect } from 'node:net';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { createPageServer, refuse, refuseSocket } from '../../../src/io/server/page-http.js';

let server: Server;

beforeEach(async () => {
  server = createPageServer(2, (_request, response) =>
    refuse(response, { status: 404, text: 'Not ♯ here.' }),
  );
  server.on('upgrade', (_request, socket) => refuseSocket(socket, { status: 403, text: 'Not ♭ you.' }));
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
});
afterEach(() => {
  server.closeAllConnections();
  server.close();
});

/** What a connection gets until it is closed. */
async function send(text: string): Promise<string> {
  const socket = connect((server.address() as AddressInfo).port, '127.0.0.1');
  let got = '';
  socket.on('data', (data) => {
    got += String(data);
  });
  socket.write(text);
  await once(socket, 'close');
  return got;
}

describe('the HTTP server of the page', () => {
  test('refuses with a sentence and the headers of every answer', async () => {
    const got = await send('GET /x HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n');
    expect(got).toMatch(/^HTTP\/1\.1 404 /);
    expect(got).toContain('X-Frame-Options: DENY');
    expect(got).toContain('Not ♯ here.');
  });

  test('refuses a WebSocket with a status and a sentence of the right length', async () => {
    const got = await send('GET /x HTTP/1.1\r\nHost: a\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n');
    const [head, body] = got.split('\r\n\r\n');
    expect(head).toMatch(/^HTTP\/1\.1 403 /);
    expect(head).toContain(`Content-Length: ${Buffer.byteLength('Not ♭ you.')}`);
    expect(body).toBe('Not ♭ you.');
  });

  test('closes a connection that speaks no HTTP, without an answer', async () => {
    expect(await send('good day\r\n\r\n')).toBe('');
  });
});
