import { createServer } from 'node:http';
import { type AddressInfo, connect, type Socket } from 'node:net';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { WebSocketServer } from 'ws';
import { formatMessage } from '../../../src/core/protocol/index.js';
import { ViewerRegistry } from '../../../src/io/server/viewer-registry.js';
import { FeedClient } from '../../support/feed-client.js';
import { until } from '../../support/until.js';

const MOST = 3;

let registry: ViewerRegistry;
let port: number;
let left: number[];
let close: () => void;

beforeEach(async () => {
  const gone: number[] = [];
  left = gone;
  registry = new ViewerRegistry(
    1,
    {
      snapshot: () => formatMessage({ type: 'notice', level: 'info', text: 'all there is' }),
      heard: () => {},
      left: ({ id }) => gone.push(id),
    },
    MOST,
  );
  const http = createServer();
  const sockets = new WebSocketServer({ server: http, perMessageDeflate: false });
  sockets.on('connection', (socket) => registry.add(socket));
  await new Promise<void>((done) => http.listen(0, '127.0.0.1', done));
  port = (http.address() as AddressInfo).port;
  close = () => {
    for (const socket of sockets.clients) socket.terminate();
    sockets.close();
    http.close();
  };
});
afterEach(() => close());

const enter = () => new FeedClient(`ws://127.0.0.1:${port}`);

/** A socket that was upgraded and then never says a word, as after a cable was pulled. */
async function enterDumb(): Promise<Socket> {
  const socket = connect(port, '127.0.0.1');
  socket.on('error', () => {});
  socket.write(
    `GET / HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n`,
  );
  const before = registry.counters.viewers;
  await until('it to be a viewer', () => registry.counters.viewers === before + 1);
  socket.resume();
  return socket;
}

describe('the viewer registry', () => {
  test('is full at its bound: further viewers are refused until one has left', async () => {
    const seated = Array.from({ length: MOST }, enter);
    await until('all to sit', () => seated.every((one) => one.messages.length === 1));
    const late = enter();
    await until('the refusal', () => late.closed !== undefined);
    expect(late.closed?.code).toBe(1013);
    expect(late.closed?.reason).toMatch(/as many viewers as Leeway takes/);
    expect(late.messages).toEqual([]);
    expect(registry.counters).toMatchObject({ viewers: MOST, refusedViewers: 1 });
    seated[0].vanish();
    await until('a free seat', () => registry.counters.viewers === MOST - 1);
    const next = enter();
    await until('it to sit', () => next.messages.length === 1);
    expect(left).toEqual([1]);
  });

  test('disconnects viewers that no longer answer at the second ping, and no others', async () => {
    const alive = enter();
    await until('it to sit', () => alive.messages.length === 1);
    let pings = 0;
    alive.socket.on('ping', () => pings++);
    const dumb = await enterDumb();
    registry.ping();
    await until('the question', () => pings === 1);
    expect(registry.counters.viewers).toBe(2);
    // The answer must have come back before it is asked again.
    alive.socket.ping();
    await new Promise((done) => alive.socket.once('pong', done));
    registry.ping();
    await until('one to be left', () => registry.counters.viewers === 1);
    expect(registry.counters.cutViewers).toBe(1);
    expect(left).toEqual([2]);
    await until('its end', () => dumb.closed);
    expect(alive.closed).toBeUndefined();
  });

  test('disconnects all viewers with a reason', async () => {
    const one = enter();
    await until('it to sit', () => one.messages.length === 1);
    registry.close();
    await until('the end', () => one.closed !== undefined);
    expect(one.closed).toEqual({ code: 1001, reason: 'Leeway has been stopped.' });
  });
});
