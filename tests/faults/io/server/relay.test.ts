import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import type { EntryFact, Frame } from '../../../../src/core/protocol/index.js';
import { parseRelayAddress, type RelayAddress } from '../../../../src/io/server/index.js';
import { COMMON_HEADERS } from '../../../../src/io/server/page-files.js';
import { RelayConnection } from '../../../../src/io/server/relay-connection.js';
import { FeedClient } from '../../../support/feed-client.js';
import { FeedStage, writePage } from '../../../support/feed-stage.js';
import { LeewayProcess } from '../../../support/live-process.js';
import { NO_RELAY, RELAY_PASSWORD, RelayServer } from '../../../support/relay-server.js';
import { useTemporaryFolder } from '../../../support/temporary-folder.js';
import { pause, until } from '../../../support/until.js';

const folder = useTemporaryFolder();
let relay: RelayServer;
const clients: FeedClient[] = [];

if (NO_RELAY !== undefined) console.log(`\nSKIPPED, every test of a relay: ${NO_RELAY}.`);

beforeEach(async () => {
  if (NO_RELAY === undefined) relay = await RelayServer.start(join(folder(), 'relay'), writePage(folder()));
});
afterEach(async () => {
  for (const client of clients.splice(0)) client.vanish();
  if (NO_RELAY === undefined) await relay.stop();
});

/** Somebody looks on at the relay. */
function look(): FeedClient {
  const client = new FeedClient(relay.sockets);
  clients.push(client);
  return client;
}

function toAddress(): RelayAddress {
  const address = parseRelayAddress(relay.address);
  if (!address.ok) throw new Error(address.problem.message);
  return address.value;
}

const withoutEntries = (frame: Frame) => ({ ...frame, entries: [] });
const toNumbers = (frames: readonly Frame[]) =>
  [
    ...new Set(
      frames.flatMap(({ entries }) => entries.map(({ strategy, n }: EntryFact) => `${strategy} ${n}`)),
    ),
  ].sort();

describe.skipIf(NO_RELAY !== undefined)('at a relay', () => {
  describe('with the server of a session', () => {
    let stage: FeedStage;
    beforeEach(async () => {
      stage = await new FeedStage(join(folder(), 'page'), { relay: toAddress() }).open();
    });
    afterEach(() => stage.close());

    /** Chords for a while, and the last one stays. */
    async function playChords(): Promise<void> {
      for (const root of [0, 5, 7, 2, 9]) {
        for (const key of [60, 64, 67]) stage.play(0x90, key + root, 80);
        await pause(300);
        if (root !== 9) for (const key of [60, 64, 67]) stage.play(0x80, key + root, 0);
      }
    }

    test('an onlooker gets a snapshot, then frames as a viewer gets them, and all entries', async () => {
      const viewer = await stage.viewer();
      const onlooker = await look().isOpen();
      await playChords();
      const last = await viewer.sees('the last chord', ({ notes }) => notes.some(({ key }) => key === 76));
      await onlooker.sees('the same', ({ atMs }) => atMs >= last.atMs);
      expect(onlooker.messages[0]).toMatchObject({ type: 'snapshot', mayControl: false });
      const frames = onlooker.of('frame');
      expect(frames.length).toBeGreaterThan(4);
      const own = viewer.of('frame');
      for (const frame of frames)
        expect(own.filter(({ atMs }) => atMs === frame.atMs).map(withoutEntries)).toContainEqual(
          withoutEntries(frame),
        );
      const [{ frame: first }] = onlooker.of('snapshot');
      expect(toNumbers(own).length).toBeGreaterThan(4);
      expect(toNumbers([first, ...frames])).toEqual(toNumbers(own));
      expect(onlooker.strange).toEqual([]);
    });

    test('a late onlooker gets the last snapshot, then the newest frame, at once', async () => {
      const first = await look().isOpen();
      await playChords();
      await first.sees('the last chord', ({ notes }) => notes.some(({ key }) => key === 76));
      await pause(500);
      const late = look();
      await until('two messages', () => late.messages.length >= 2);
      expect(late.messages.map(({ type }) => type)).toEqual(['snapshot', 'frame']);
      expect(late.frame).toEqual(first.frame);
    });

    test('new settings come by a snapshot of their own', async () => {
      const onlooker = await look().isOpen();
      const facts = {
        leewayCents: { pull: 5, anchored: 9 },
        bypass: true,
        stories: [],
        inputs: [],
        outputs: [],
      };
      stage.server.take({
        kind: 'facts',
        atMs: 0,
        facts: { ...facts, addresses: [relay.page], carries: 'nothing' },
      });
      // Before the snapshot that comes every ten seconds.
      const isNew = () => onlooker.of('snapshot').at(-1)?.settings.bypass === true;
      await until('new settings', isNew, 7000);
      expect(onlooker.of('snapshot').at(-1)?.settings.addresses).toEqual([relay.page]);
    });

    test('the page has the headers and types it has from Leeway', async () => {
      for (const path of ['', 'index.html', 'assets/main.js']) {
        const [its, own] = [await fetch(relay.page + path), await fetch(`http://${stage.address}/${path}`)];
        expect([its.status, await its.text()]).toEqual([200, await own.text()]);
        for (const name of ['Content-Type', ...Object.keys(COMMON_HEADERS)])
          expect([path, name, its.headers.get(name)]).toEqual([path, name, own.headers.get(name)]);
      }
    });

    test('nothing but the page is there, and nobody publishes without the password', async () => {
      const onlooker = await look().isOpen();
      const ask = async (path: string, method: string, authorization: string | undefined) => {
        const headers = authorization === undefined ? {} : { authorization };
        const body = method === 'POST' ? '{"type":"frame"}' : null;
        return (await fetch(relay.page + path, { method, headers, body })).status;
      };
      const wrong = `Basic ${Buffer.from(`leeway:${RELAY_PASSWORD}x`).toString('base64')}`;
      const right = toAddress().authorization;
      const answers: readonly (readonly [
        status: number,
        path: string,
        method: string,
        as?: string | undefined,
      ])[] = [
        [404, 'healthz', 'GET'],
        [404, 'secret.txt', 'GET'],
        [404, '%2e%2e/secret.txt', 'GET'],
        [404, 'publish/', 'GET'],
        [403, 'publish/other', 'POST'],
        [405, '', 'POST'],
        [403, 'index.html', 'DELETE'],
        [401, 'publish/frame', 'POST'],
        [401, 'publish/snapshot', 'POST'],
        [401, 'publish/frame', 'POST', wrong],
        [403, 'publish/frame', 'GET', right],
        [403, 'publish/snapshot', 'DELETE', right],
      ];
      const came: unknown[] = [];
      for (const [, path, method, authorization] of answers)
        came.push([await ask(path, method, authorization), path, method]);
      expect(came).toEqual(answers.map(([status, path, method]) => [status, path, method]));
      expect((await fetch(`${relay.page}feed`)).ok).toBe(false);
      expect([onlooker.strange, onlooker.closed]).toEqual([[], undefined]);
    });

    test('an onlooker that sends something is cut off, and nobody gets it', async () => {
      const onlooker = await look().isOpen();
      const sender = await look().isOpen();
      sender.send({ type: 'control', what: 'panic' });
      await until('its end', () => sender.closed !== undefined);
      expect(sender.closed?.code).toBe(1008);
      stage.play(0x90, 60, 80);
      await onlooker.sees('a note', ({ notes }) => notes.length === 1);
      expect([onlooker.strange, stage.orders()]).toEqual([[], []]);
    });
  });

  test('an onlooker that stops reading is cut off, and the others get every message meanwhile', async () => {
    const STALLED = 20;
    const connection = new RelayConnection(toAddress());
    expect(await connection.post('snapshot', 'a snapshot')).toBeUndefined();
    let came = 0;
    const join = (onMessage: () => void) =>
      new Promise<WebSocket>((resolve) => {
        const socket = new WebSocket(`${relay.sockets}/feed`);
        socket.on('error', () => {});
        socket.once('message', () => resolve(socket));
        socket.on('message', onMessage);
      });
    const good = await join(() => came++);
    const stalled = await Promise.all(Array.from({ length: STALLED }, () => join(() => {})));
    for (const socket of stalled) socket.pause();
    came = 0;
    // More than the system takes for a connection, and longer than two pings: 120 messages of 256 kB that can't be packed.
    const MESSAGES = 120;
    let most = 0;
    for (let sent = 1; sent <= MESSAGES; sent++) {
      expect(await connection.post('frame', randomBytes(192_000).toString('base64'))).toBeUndefined();
      await until('the message', () => came === sent);
      await pause(180);
      most = Math.max(most, relay.readMemory());
    }
    let cut = 0;
    for (const socket of stalled) socket.on('close', () => cut++).resume();
    await until('the end of those that stopped', () => cut === STALLED);
    expect(good.readyState).toBe(WebSocket.OPEN);
    // A message is there once for all: what ten seconds bring, and nginx itself.
    expect(most).toBeLessThan(60);
    expect(relay.readLog()).not.toContain('memory');
    good.terminate();
    connection.close();
  });

  test('Leeway plays on while the relay is dead, tells each once, and publishes again', async () => {
    const leeway = new LeewayProcess(['demo', '--relay', relay.address]);
    try {
      const page = new URL((await leeway.says('The page: ')).slice('The page: '.length));
      const viewer = await new FeedClient(`ws://${page.host}`).isOpen();
      clients.push(viewer);
      await look().isOpen();
      await relay.stop();
      await leeway.says(`The relay at ${relay.page}: it doesn't answer`);
      const { length } = viewer.of('frame');
      await until('frames', () => viewer.of('frame').length > length + 40);
      expect(viewer.frame?.playing?.name).toBe('choir-warm-up');
      await relay.start();
      await leeway.says(`The relay at ${relay.page} is back.`);
      const onlooker = await look().isOpen();
      await until('frames', () => onlooker.of('frame').length > 5);
      const { addresses } = onlooker.of('snapshot')[0].settings;
      expect(addresses).toHaveLength(new Set(addresses).size);
      expect(addresses.length).toBeGreaterThan(0);
      expect(leeway.said.filter((line) => line.startsWith('The relay at'))).toHaveLength(2);
      expect(leeway.said.filter((line) => line.includes(addresses[0]))).not.toEqual([]);
      const health = (await (await fetch(`${page.origin}/healthz`)).json()) as {
        session: { faults: number };
      };
      expect(health.session.faults).toBe(0);
    } finally {
      leeway.kill('SIGTERM');
    }
    expect(await leeway.ended).toBe(0);
    expect(leeway.said.join('\n')).not.toContain(encodeURIComponent(RELAY_PASSWORD));
  });
});
