import { afterEach, describe, expect, test } from 'vitest';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { LeewayError } from '../../../../src/io/leeway-error.js';
import { ServerSupervisor } from '../../../../src/io/server/index.js';
import type { FromServer } from '../../../../src/io/server/protocol.js';
import { FeedClient } from '../../../support/feed-client.js';
import { FACTS, TOKEN, writePage } from '../../../support/feed-stage.js';
import { findFreePort } from '../../../support/free-port.js';
import { LAST_CHORD, TIED_PUMP } from '../../../support/pumps.js';
import { useTemporaryFolder } from '../../../support/temporary-folder.js';
import { until } from '../../../support/until.js';

const folder = useTemporaryFolder();
const open: (ServerSupervisor | FeedClient)[] = [];
afterEach(async () => {
  for (const one of open.splice(0)) {
    if (one instanceof FeedClient) one.vanish();
    else await one.close();
  }
});

class Told {
  readonly orders: FromServer[] = [];
  readonly losses: [reason: string, pauseMs: number][] = [];
  backs = 0;
}

function start(
  told: Told,
  changes: { port?: number; address?: string; folder?: string } = {},
): ServerSupervisor {
  const server = new ServerSupervisor(
    {
      address: '127.0.0.1',
      port: undefined,
      token: TOKEN,
      folder: writePage(folder()),
      version: '0.0.1',
      pieces: [],
      settings: toSettings({}),
      facts: FACTS,
      ...changes,
    },
    {
      order: (message) => told.orders.push(message),
      lost: (reason, pauseMs) => told.losses.push([reason, pauseMs]),
      back: () => {
        told.backs++;
      },
      relay: () => {},
    },
  );
  open.push(server);
  return server;
}

async function look(port: number): Promise<FeedClient> {
  const client = new FeedClient(`ws://127.0.0.1:${port}`);
  open.push(client);
  return client.isOpen();
}

describe('a server in a separate thread', () => {
  test('comes back after any kill at the same port with the same token, and no note is missing', async () => {
    const told = new Told();
    const server = start(told, { port: await findFreePort() });
    const port = await server.open();
    const before = await look(port);
    const { queue } = server;
    let nowMs = 1000;
    const strike = (key: number) => queue.event({ kind: 'note-on', atMs: nowMs, part: 0, key, velocity: 80 });
    const lift = (key: number) => queue.event({ kind: 'note-off', atMs: nowMs, part: 0, key });
    const wait = (ms: number) => {
      nowMs += ms;
      queue.event({ kind: 'time', atMs: nowMs });
    };
    // A comma down.
    for (const move of TIED_PUMP) {
      for (const key of move.lift) lift(key);
      for (const key of move.strike) strike(key);
      wait(900);
    }
    const seen = await before.sees('the last chord', ({ atMs, notes }) => atMs > 5400 && notes.length === 3);
    expect(seen.drift.free.comma).toBe('−1 syntonic comma');
    await until('what it had come to to be kept', () => server.owed === 0);
    for (const key of LAST_CHORD) lift(key);
    wait(100);
    const killed = server.kill();
    strike(60);
    wait(10);
    strike(64);
    await killed;
    strike(67);
    wait(500);
    await until('it to be back', () => told.backs === 1);
    expect(told.losses).toHaveLength(1);
    expect(before.closed).toBeDefined();

    const after = await look(port);
    expect(await after.hello(TOKEN)).toBe(true);
    const frame = await after.sees('the chord played meanwhile', ({ notes }) => notes.length === 3);
    expect(frame.notes.map(({ key }) => key)).toEqual([60, 64, 67]);
    expect(frame.drift.free.commaCents).toBeLessThan(-21);
    expect(frame.counters.notes).toBe(seen.counters.notes + 3);
    // The drift curve of what came before is there too.
    expect(after.of('snapshot')[0].course.atMs[0]).toBeLessThanOrEqual(seen.atMs);
    after.send({ type: 'play', act: 'on', key: 60, velocity: 80 });
    await until('an order', () => told.orders.some(({ kind }) => kind === 'order'));
    const order = told.orders.find((one) => one.kind === 'order');
    expect(order?.kind === 'order' && order.viewer).toBeGreaterThan(1_000_000_000);
  }, 60_000);

  test('pauses longer after each kill', async () => {
    const told = new Told();
    const server = start(told, { port: await findFreePort() });
    await server.open();
    for (let round = 1; round <= 3; round++) {
      await server.kill();
      await until('it to be back', () => told.backs === round);
    }
    expect(told.losses.map(([, pauseMs]) => pauseMs)).toEqual([100, 200, 400]);
  }, 60_000);

  test('takes the next port where the default one is in use, but not where a port was asked for', async () => {
    const first = await start(new Told()).open();
    const second = await start(new Told()).open();
    expect(second).not.toBe(first);
    await expect(start(new Told(), { port: first }).open()).rejects.toMatchObject({ code: 'PAGE_PORT' });
  }, 60_000);

  test.each([
    [{ address: '192.0.2.1' }, 'PAGE_ADDRESS'],
    [{ address: 'no.such.name.invalid' }, 'PAGE_ADDRESS'],
    [{ folder: '/nowhere/at/all' }, 'PAGE_MISSING'],
  ])(
    'reports what it cannot serve as an error with advice: %o',
    async (changes, code) => {
      const error = await start(new Told(), changes)
        .open()
        .catch((reason: unknown) => reason);
      expect(error).toBeInstanceOf(LeewayError);
      expect(error).toMatchObject({ code, advice: expect.stringMatching(/\w/) });
    },
    60_000,
  );
});
