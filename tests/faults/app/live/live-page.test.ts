import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { readBuiltInPieces } from '../../../../src/app/live/built-in-pieces.js';
import { LivePage } from '../../../../src/app/live/live-page.js';
import { LiveSession } from '../../../../src/app/live/live-session.js';
import { SessionTimer } from '../../../../src/app/live/session-timer.js';
import { toFileParts } from '../../../../src/core/protocol/index.js';
import { CLOCK } from '../../../../src/io/clock/index.js';
import { FakeMachine } from '../../../support/fake-ports.js';
import { FeedClient } from '../../../support/feed-client.js';
import { TOKEN, writePage } from '../../../support/feed-stage.js';
import { findFreePort } from '../../../support/free-port.js';
import { stageSettings, toModel } from '../../../support/stage.js';
import { useTemporaryFolder } from '../../../support/temporary-folder.js';
import { pause, until } from '../../../support/until.js';

const DEMO = new URL('../../../../configs/demo', import.meta.url).pathname;
const NO_SIGNS = {
  collections: 0,
  collectedMs: 0,
  longestCollectionMs: 0,
  lateP50Ms: 0,
  lateP99Ms: 0,
  lateWorstMs: 0,
};
const folder = useTemporaryFolder();

let machine: FakeMachine;
let page: LivePage;
let session: LiveSession;
let owner: SessionTimer;
let address: string;
const lost: string[] = [];
let clients: FeedClient[] = [];

beforeEach(async () => {
  machine = new FakeMachine();
  machine.plugKeys('Keys');
  const config = {
    address: '127.0.0.1',
    // A server that comes back takes its own port again, which nobody else may have taken.
    port: await findFreePort(),
    token: TOKEN,
    folder: writePage(folder()),
    version: '0.0.1',
    pieces: await readBuiltInPieces(DEMO),
    stories: [],
  };
  owner = new SessionTimer(CLOCK);
  page = new LivePage(config, {
    clock: CLOCK,
    vitals: () => NO_SIGNS,
    lost: (reason) => lost.push(reason),
    back: () => {},
    relay: () => {},
  });
  session = new LiveSession(stageSettings(), {
    ports: machine.openPorts(),
    now: CLOCK.now,
    tell: (event) => page.told(event),
    wake: owner.wake,
    listener: page.listener,
    routing: page.routing,
  });
  address = `ws://127.0.0.1:${await page.open(session)}`;
  owner.start(session);
});
afterEach(async () => {
  for (const client of clients) client.vanish();
  clients = [];
  lost.length = 0;
  owner.stop();
  await page.close();
});

async function look(token?: string): Promise<FeedClient> {
  const client = await new FeedClient(address).isOpen();
  clients.push(client);
  await client.hello(token);
  return client;
}

/** Tries to connect until the server is back. */
async function knock(): Promise<FeedClient> {
  for (;;) {
    const client = new FeedClient(address);
    clients.push(client);
    const isThere = await new Promise<boolean>((resolve) => {
      client.socket.on('open', () => resolve(true));
      client.socket.on('error', () => resolve(false));
    });
    if (isThere) return client.isOpen();
    await pause(50);
  }
}

const keysOf = ({ notes }: { notes: readonly { key: number }[] }) => notes.map(({ key }) => key);

describe('a session on the page', () => {
  test('sends what is played on the page to the synth and every viewer, and ends it when the player leaves', async () => {
    const synth = machine.plugSynth('Synth');
    const viewer = await look();
    const player = await look(TOKEN);
    await until('the synth', () => synth.messages.length > 0);
    for (const key of [60, 64, 67]) player.send({ type: 'play', act: 'on', key, velocity: 80 });
    const frame = await viewer.sees('a chord', (one) => keysOf(one).join() === '60,64,67');
    // One strike or three, as the orders came: each note is carried by a channel of its own in any case.
    expect(new Set(frame.notes.map(({ channel }) => channel)).size).toBe(3);
    expect(frame.notes.every(({ bend }) => bend !== null)).toBe(true);
    expect(toModel(synth.messages).voices.map(({ key }) => key)).toEqual([60, 64, 67]);
    player.vanish();
    await viewer.sees('silence', ({ notes }) => notes.length === 0);
    expect(toModel(synth.messages).voices).toEqual([]);
  });

  test('starts a piece by its name, repeats it, changes its pace and stops it, and refuses another name', async () => {
    const player = await look(TOKEN);
    player.send({ type: 'piece', act: 'start', name: 'no such piece', tempo: 1, loop: true });
    await until('a refusal', () => player.of('refused').length === 1);
    expect(player.of('refused')[0]).toMatchObject({ code: 'UNKNOWN_PIECE' });
    player.send({ type: 'piece', act: 'start', name: 'choir-warm-up', tempo: 4, loop: true });
    await player.sees('four voices', ({ notes }) => notes.length === 4);
    player.send({ type: 'piece', act: 'tempo', value: 2 });
    player.send({ type: 'piece', act: 'loop', value: false });
    await player.sees('the change', ({ playing }) => playing?.tempo === 2 && !playing.loop);
    player.send({ type: 'piece', act: 'stop' });
    await player.sees('silence', ({ notes, playing }) => notes.length === 0 && playing === null);
  });

  test('stops the piece at a panic', async () => {
    const player = await look(TOKEN);
    expect(page.play('choir-warm-up', 1, true)).toBe(true);
    await player.sees('four voices', ({ notes }) => notes.length === 4);
    player.send({ type: 'control', what: 'panic' });
    await player.sees('silence', ({ notes, playing }) => notes.length === 0 && playing === null);
    expect(page.orders.pieces.player.piece).toBeUndefined();
  });

  test('plays a file that was sent, and starts it again by its name', async () => {
    const player = await look(TOKEN);
    const track = [0x00, 0x90, 72, 80, 0xa0, 0x00, 0x80, 72, 64, 0x00, 0xff, 0x2f, 0x00];
    const head = [0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 0, 0, 1, 0, 0x60, 0x4d, 0x54, 0x72, 0x6b];
    const bytes = Uint8Array.from([...head, 0, 0, 0, track.length, ...track]);
    const parts = toFileParts(1, 'high.mid', Buffer.from(bytes).toString('base64'), bytes.length);
    if (!parts.ok) throw new Error(parts.problem.message);
    for (const part of parts.value) player.send(part);
    await player.sees('its note', (one) => keysOf(one).join() === '72');
    page.orders.pieces.player.stop();
    await player.sees('silence', ({ notes }) => notes.length === 0);
    player.send({ type: 'piece', act: 'start', name: 'high.mid', tempo: 1, loop: false });
    await player.sees('its note again', (one) => keysOf(one).join() === '72');
  });

  test('reports ports that come and go, and settings', async () => {
    const player = await look(TOKEN);
    const told = () => player.of('settings').at(-1)?.settings;
    machine.plugSynth('Synth');
    await until('the synth', () => told()?.outputs.join() === 'Synth');
    expect(told()?.inputs).toEqual(['Keys']);
    player.send({ type: 'control', what: 'leeway', strategy: 'pull', value: 5 });
    await until('the leeway', () => told()?.leewayCents.pull === 5);
    player.send({ type: 'control', what: 'hear', value: 'pull' });
    await until('the strategy', () => told()?.strategy === 'pull');
  });

  test('lets a chord sound on when another strategy is heard, and changes no pitch under any', async () => {
    const player = await look(TOKEN);
    for (const key of [60, 64, 67]) player.send({ type: 'play', act: 'on', key, velocity: 80 });
    const before = await player.sees('a chord', ({ notes }) => notes.length === 3);
    player.send({ type: 'control', what: 'hear', value: 'free' });
    const after = await player.sees('free', ({ sounding }) => sounding === 'free');
    expect(after.notes.map(({ id, cents }) => [id, cents])).toEqual(
      before.notes.map(({ id, cents }) => [id, cents]),
    );
    expect(session.counters.drains).toBe(0);
  });

  test('goes to a place of a piece, in every tuning, and a server that dies comes back with all of it', async () => {
    const player = await look(TOKEN);
    player.send({ type: 'piece', act: 'start', name: 'choir-warm-up', tempo: 1, loop: true });
    player.send({ type: 'piece', act: 'pause', value: true });
    // A hand on a slider.
    for (let ms = 0; ms <= 4000; ms += 100) player.send({ type: 'piece', act: 'seek', pass: 3, value: ms });
    const there = await player.sees('the place', ({ playing }) => playing?.positionMs === 4000);
    expect(there.playing).toMatchObject({ isPaused: true, pass: { n: 3 } });
    expect(keysOf(there)).toEqual([45, 57, 64, 72]);
    expect(there.drift.free.commaCents).toBeLessThan(-40);
    const snapshot = player.of('snapshot').at(-1);
    expect(snapshot?.passes.map(({ n }) => n)).toEqual([1, 2, 3]);
    player.send({ type: 'control', what: 'hear', value: 'free' });
    await player.sees('free', ({ sounding }) => sounding === 'free');
    expect(session.settings.tuner.strategy).toBe('free');
    await page.server?.kill();
    await until('the loss', () => lost.length > 0);
    const viewer = await knock();
    const after = await viewer.sees('the same', ({ notes }) => notes.length === 4);
    // The pull draws on while the piece pauses.
    const still = ({ notes }: typeof after) => notes.map(({ cents }) => ({ ...cents, pull: 0 }));
    expect(still(after)).toEqual(still(there));
    expect(viewer.of('snapshot')[0].passes).toEqual(snapshot?.passes);
    expect(viewer.of('snapshot')[0].score?.name).toBe('choir-warm-up');
  });

  test('releases what viewers held when the server dies, and reports it to its owner', async () => {
    const player = await look(TOKEN);
    player.send({ type: 'play', act: 'on', key: 60, velocity: 80 });
    await player.sees('a note', ({ notes }) => notes.length === 1);
    await page.server?.kill();
    await until('the loss', () => lost.length === 1);
    expect(session.line.tuner.notes).toEqual([]);
    const again = await knock();
    expect(await again.hello(TOKEN)).toBe(true);
  });

  test('sends its viewers a line of text, unless there is nothing to say', async () => {
    const viewer = await look();
    page.notice('info', '');
    page.notice('warning', '"Synth" is gone.');
    await until('the line', () => viewer.of('notice').length > 0);
    expect(viewer.of('notice')).toEqual([{ type: 'notice', level: 'warning', text: '"Synth" is gone.' }]);
  });
});
