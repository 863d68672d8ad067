import { createServer, type RequestListener, type Server, type ServerResponse } from 'node:http';
import type { Duplex } from 'node:stream';
import type { Refusal } from './origin-check.js';
import { COMMON_HEADERS } from './page-files.js';

/** A request must be complete by then; checked this often. */
const REQUEST_MS = 10_000;
const LATE_REQUESTS_MS = 2000;
const TEXT = 'text/plain; charset=utf-8';

/** A server for the page that slow, silent and harmful connections can't fill. @param most connections at once */
export function createPageServer(most: number, answer: RequestListener): Server {
  const server = createServer(
    {
      headersTimeout: REQUEST_MS,
      requestTimeout: REQUEST_MS,
      connectionsCheckingInterval: LATE_REQUESTS_MS,
      keepAliveTimeout: 5000,
      maxHeaderSize: 8192,
    },
    answer,
  );
  server.maxConnections = most;
  server.on('clientError', (_error, socket) => socket.destroy());
  return server;
}

/** Answers a request with a refusal. */
export function refuse(response: ServerResponse, { status, text }: Refusal): void {
  response.writeHead(status, { ...COMMON_HEADERS, 'Content-Type': TEXT });
  response.end(`${text}\n`);
}

/** Answers a request for a WebSocket with a refusal, and ends it. */
export function refuseSocket(socket: Duplex, { status, text }: Refusal): void {
  socket.end(
    `HTTP/1.1 ${status} Refused\r\nConnection: close\r\nContent-Type: ${TEXT}\r\nContent-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`,
  );
}
