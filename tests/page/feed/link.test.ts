import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { WebSocket, WebSocketServer } from 'ws';
import { SessionMonitor } from '../../../src/core/monitor/index.js';
import { formatMessage } from '../../../src/core/protocol/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { Link, type LinkState } from '../../../src/page/feed/link.js';
import { FACTS } from '../../support/feed-stage.js';
import { until } from '../../support/until.js';

const monitor = new SessionMonitor({
  settings: toSettings({}),
  facts: FACTS,
  pieces: [],
  session: 'of today',
});
const SNAPSHOT = formatMessage(monitor.toViewerSnapshot(false, { droppedFrames: 0, viewers: 1 }));

let server: WebSocketServer;
let heard: string[];
let states: LinkState[];
let link: Link | undefined;

beforeEach(async () => {
  // Node 20 has no WebSocket of a browser's kind.
  vi.stubGlobal('WebSocket', WebSocket);
  heard = [];
  states = [];
  server = new WebSocketServer({ port: 0, host: '127.0.0.1' });
  await once(server, 'listening');
});
afterEach(() => {
  link?.stop();
  for (const socket of server.clients) socket.terminate();
  server.close();
  vi.unstubAllGlobals();
});

/** A server that gives a snapshot, and cuts off whoever sends, as a relay does, unless it is told not to. */
function open(token: string | undefined, hears: boolean): void {
  server.on('connection', (socket) => {
    socket.on('message', (data) => {
      heard.push(String(data));
      if (!hears) socket.close(1008);
    });
    socket.send(SNAPSHOT);
    // Answered after whatever the page sent before it.
    socket.on('pong', () => socket.send('{"type":"rights","mayControl":false}'));
    socket.ping();
  });
  const { port } = server.address() as AddressInfo;
  link = new Link(`ws://127.0.0.1:${port}/feed`, token, {
    state: (state) => states.push(state),
    message: ({ type }) => types.push(type),
  });
  link.start();
}
const types: string[] = [];
beforeEach(() => types.splice(0));

describe('the link of the page', () => {
  test('sends nothing without a token, and stays at a server that cuts off whoever sends', async () => {
    open(undefined, false);
    await until('an answer to the ping', () => types.includes('rights'));
    expect([heard, states]).toEqual([[], ['open']]);
  });

  test('says hello with its token', async () => {
    open('of mine', true);
    await until('a hello', () => heard.length > 0);
    expect(JSON.parse(heard[0])).toMatchObject({ type: 'hello', token: 'of mine' });
  });
});
