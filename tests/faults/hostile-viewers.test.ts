import { connect, type Socket } from 'node:net';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { FeedClient } from '../support/feed-client.js';
import { LeewayProcess } from '../support/live-process.js';
import { pause, until } from '../support/until.js';

/** A whole program beside its crowd, on a machine that may be busy. */
const LONG_MS = 60_000;

let leeway: LeewayProcess;
let page: URL;
let good: FeedClient;
const sockets: Socket[] = [];

beforeEach(async () => {
  leeway = new LeewayProcess(['demo']);
  page = new URL((await leeway.says('The page: ', LONG_MS)).slice('The page: '.length));
  good = await new FeedClient(`ws://${page.host}`).isOpen();
}, LONG_MS);
afterEach(async () => {
  for (const socket of sockets.splice(0)) socket.destroy();
  good.vanish();
  leeway.kill('SIGTERM');
  expect(await leeway.ended).toBe(0);
  expect(leeway.said.filter((line) => line.startsWith('The page stopped'))).toEqual([]);
});

interface Health {
  readonly session: { readonly faults: number };
  readonly server: { readonly viewers: number; readonly memoryBytes: number; readonly droppedFrames: number };
}

async function readHealth(): Promise<Health> {
  const answer = await fetch(`${page.origin}/healthz`);
  expect(answer.status).toBe(200);
  return (await answer.json()) as Health;
}

/** Somebody who looks gets frames: the newest, in order, and of a piece that plays on. */
async function keepsItsFrames(): Promise<void> {
  const before = good.of('frame').length;
  await until('frames', () => good.of('frame').length > before + 10, LONG_MS);
  const times = good.of('frame').map(({ atMs }) => atMs);
  expect(times.every((ms, i) => i === 0 || ms >= times[i - 1])).toBe(true);
  expect(good.frame?.playing?.name).toBe('choir-warm-up');
  expect(good.strange).toEqual([]);
}

const UPGRADE = () =>
  `GET /feed HTTP/1.1\r\nHost: ${page.host}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n`;

/** A connection that sends so much and waits for what comes, or for its end. */
function knock(sends: string): Promise<Socket> {
  return new Promise((resolve) => {
    const socket = connect(Number(page.port), page.hostname);
    const done = () => resolve(socket);
    socket.on('error', done).on('close', done).once('data', done);
    socket.on('connect', () => {
      if (sends === '') done();
      else socket.write(sends);
    });
  });
}

test('10 000 hostile connections do not get in and leave nothing, and viewers keep their frames', async () => {
  const before = await readHealth();
  const ways = ['', 'GET / HT', UPGRADE(), 'GET /healthz HTTP/1.1\r\nHost: evil.example\r\n\r\n', '\xff\x00'];
  for (let made = 0; made < 10_000; made += 100) {
    const crowd = await Promise.all(
      Array.from({ length: 100 }, async (_, i) => {
        const sends = ways[i % ways.length];
        // Half a request gets no answer: it is not waited for.
        if (sends !== 'GET / HT') return knock(sends);
        const socket = await knock('');
        socket.write(sends);
        return socket;
      }),
    );
    for (const socket of crowd) socket.destroy();
    if (made % 2000 === 0) await keepsItsFrames();
  }
  await keepsItsFrames();
  await good.sees('everybody gone', ({ counters }) => counters.viewers === 1, LONG_MS);
  const after = await readHealth();
  expect(after.session.faults).toBe(0);
  // What ten thousand left behind would be, at a kilobyte each, and the heap's own ups and downs.
  expect(after.server.memoryBytes - before.server.memoryBytes).toBeLessThan(100 * 2 ** 20);
}, 240_000);

test("silent sockets are closed, and take no viewer's place meanwhile", async () => {
  for (let i = 0; i < 300; i++) sockets.push(await knock(''));
  for (let i = 0; i < 300; i++) {
    const socket = await knock('');
    socket.write('GET / HTTP/1.1\r\nHo');
    sockets.push(socket);
  }
  let ended = 0;
  for (const socket of sockets) socket.on('close', () => ended++).resume();
  await keepsItsFrames();
  const late = await new FeedClient(`ws://${page.host}`).isOpen();
  late.vanish();
  await until('their end', () => ended === sockets.length, LONG_MS);
  await keepsItsFrames();
}, 240_000);

test('viewers that stop reading cost no more than their bound, and no other viewer a frame', async () => {
  const VIEWERS = 20;
  const player = await new FeedClient(`ws://${page.host}`).isOpen();
  expect(await player.hello(page.hash.replace('#token=', ''))).toBe(true);
  player.send({ type: 'piece', act: 'tempo', value: 4 });
  // Many notes make large frames.
  for (let key = 30; key < 88; key++) player.send({ type: 'play', act: 'on', key, velocity: 1 });
  await good.sees('many notes', ({ notes }) => notes.length > 50, LONG_MS);
  const stalled = await Promise.all(
    Array.from({ length: VIEWERS }, () => new FeedClient(`ws://${page.host}`).isOpen()),
  );
  const before = await readHealth();
  for (const { socket } of stalled) socket.pause();
  const strikes = setInterval(() => {
    for (const act of ['off', 'on'] as const)
      player.send(
        act === 'on' ? { type: 'play', act, key: 40, velocity: 1 } : { type: 'play', act, key: 40 },
      );
  }, 50);
  try {
    const dropped = async () => (await readHealth()).server.droppedFrames;
    // All of them are full; then as much again is not sent.
    for (const frames of [50 * VIEWERS, 100 * VIEWERS]) {
      // The system takes some megabytes for each before one of them is full. How long that takes says nothing.
      while ((await dropped()) < frames) await pause(250);
    }
    await keepsItsFrames();
  } finally {
    clearInterval(strikes);
  }
  const after = await readHealth();
  const each = (after.server.memoryBytes - before.server.memoryBytes) / VIEWERS / 2 ** 20;
  // 256 KiB and a message; the rest is the heap's own ups and downs, shared by few.
  expect(each).toBeLessThan(3);
  for (const one of [...stalled, player]) one.vanish();
}, 900_000);
