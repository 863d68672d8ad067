import { connect } from 'node:net';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { FEED_VERSION, toFileParts } from '../../../src/core/protocol/index.js';
import { FeedClient } from '../../support/feed-client.js';
import { FACTS, FeedStage, TOKEN, writePage } from '../../support/feed-stage.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';
import { pause, until } from '../../support/until.js';

const folder = useTemporaryFolder();
let stage: FeedStage;

beforeEach(async () => {
  stage = await new FeedStage(writePage(folder())).open();
});
afterEach(() => stage.close());

describe('viewers of the feed server', () => {
  test('get a snapshot first, then what sounds, under every strategy', async () => {
    const viewer = await stage.viewer();
    const [snapshot] = viewer.of('snapshot');
    expect(viewer.messages[0]).toBe(snapshot);
    expect(snapshot).toMatchObject({ version: FEED_VERSION, mayControl: false, pieces: [{ name: 'choir' }] });
    expect(snapshot.settings).toMatchObject({ strategy: 'anchored', outputs: ['Synth'] });
    stage.play(0x90, 60, 80).play(0x90, 64, 90).play(0x90, 67, 70);
    const frame = await viewer.sees('three notes', ({ notes }) => notes.length === 3);
    expect(frame.notes.map(({ toBass }) => toBass)).toEqual(['1/1', '5/4', '3/2']);
    expect(frame.notes.map(({ velocity }) => velocity)).toEqual([80, 90, 70]);
    stage.play(0x80, 60, 0).play(0x80, 64, 0).play(0x80, 67, 0);
    await viewer.sees('silence', ({ notes }) => notes.length === 0);
    expect(viewer.strange).toEqual([]);
  });

  test('get the present state and its past when they come later', async () => {
    stage.play(0x90, 60, 80).play(0x90, 64, 90, 2000);
    const first = await stage.viewer();
    await first.sees('drift curves', () => true);
    const late = await stage.viewer();
    const [{ frame }] = late.of('snapshot');
    expect(frame.notes).toHaveLength(2);
    expect(frame.entries.length).toBeGreaterThan(0);
  });

  test('get the settings when they change', async () => {
    const viewer = await stage.viewer();
    stage.server.take({
      kind: 'facts',
      atMs: 0,
      facts: {
        leewayCents: { pull: 5, anchored: 8 },
        bypass: true,
        stories: [],
        inputs: ['Keys'],
        outputs: [],
        addresses: [],
        carries: 'nothing',
      },
    });
    await until('settings', () => viewer.of('settings').length === 1);
    expect(viewer.of('settings')[0].settings).toMatchObject({
      bypass: true,
      leewayCents: { pull: 5 },
      inputs: ['Keys'],
    });
  });

  test('get settings that change many times at once as they are then, before the frame after them', async () => {
    const viewer = await stage.viewer();
    const facts = { ...FACTS, outputs: [] };
    for (let cents = 1; cents <= 100; cents++)
      stage.server.take({
        kind: 'facts',
        atMs: 0,
        facts: { ...facts, leewayCents: { pull: 2, anchored: cents } },
      });
    await until('a frame', () => viewer.of('frame').length === 1);
    expect(viewer.of('settings').map(({ settings }) => settings.leewayCents.anchored)).toEqual([100]);
    expect(viewer.messages.map(({ type }) => type).slice(-2)).toEqual(['settings', 'frame']);
  });

  test('get everything anew, instead of a frame, where the music begins again', async () => {
    stage.play(0x90, 60, 80);
    const viewer = await stage.viewer();
    await viewer.sees('the note', ({ notes }) => notes.length === 1);
    const frames = viewer.of('frame').length;
    stage.server.take({ kind: 'rebuilt', atMs: stage.nowMs, nextId: 5, passes: [] });
    await until('a snapshot', () => viewer.of('snapshot').length === 2);
    expect(viewer.of('snapshot')[1].frame.notes).toEqual([]);
    expect(viewer.of('snapshot')[1].frame.entries).toEqual([]);
    expect(viewer.of('frame')).toHaveLength(frames);
  });

  test('get the chords of a piece when it starts', async () => {
    const viewer = await stage.viewer();
    const score = { name: 'choir', chords: [{ atMs: 0, symbol: 'C', keys: [60, 64, 67] }], barsMs: [0] };
    stage.server.take({ kind: 'score', score });
    await until('the score', () => viewer.of('score').length === 1);
    expect(viewer.of('score')[0].score).toEqual(score);
    expect((await stage.viewer()).of('snapshot')[0].score).toEqual(score);
  });

  test('get every line of text, and only their own answers', async () => {
    const [one, other] = [await stage.viewer(), await stage.viewer()];
    stage.server.take({ kind: 'notice', level: 'info', text: 'Input "Keys" is open.' });
    stage.server.take({
      kind: 'answer',
      viewer: 2,
      message: { type: 'refused', code: 'UNKNOWN_PIECE', text: 'no' },
    });
    await until('both', () => one.of('notice').length === 1 && other.of('refused').length === 1);
    expect(one.of('refused')).toEqual([]);
  });
});

describe('what viewers of the feed server may do:', () => {
  test('nothing is carried out without the token, and everything is handed on with it', async () => {
    const looker = await stage.viewer();
    expect(await looker.hello()).toBe(false);
    looker.send({ type: 'play', act: 'on', key: 60, velocity: 80 });
    looker.send({ type: 'control', what: 'panic' });
    looker.send({ type: 'piece', act: 'stop' });
    await until('refusals', () => looker.of('refused').length === 3);
    expect(looker.of('refused').map(({ code }) => code)).toEqual(['NO_TOKEN', 'NO_TOKEN', 'NO_TOKEN']);
    expect(stage.orders()).toEqual([]);
    const player = await stage.player();
    player.send({ type: 'play', act: 'on', key: 60, velocity: 80 });
    await until('an order', () => stage.orders().length === 1);
    expect(stage.told.at(-1)).toMatchObject({ kind: 'order', viewer: 2, order: { key: 60 } });
    player.vanish();
    await until('its leaving', () => stage.told.some((one) => one.kind === 'left' && one.viewer === 2));
  });

  test('a wrong token gives no rights, is reported, and may not be tried often', async () => {
    const guesser = await stage.viewer();
    for (let i = 0; i < 5; i++) expect(await guesser.hello(`${TOKEN.slice(1)}${i}`)).toBe(false);
    expect(guesser.of('refused').map(({ code }) => code)).toEqual(new Array(5).fill('WRONG_TOKEN'));
    guesser.send({ type: 'hello', version: FEED_VERSION, token: '' });
    await until('the end', () => guesser.closed !== undefined);
    expect(guesser.closed?.code).toBe(1008);
  });

  test('another version of the feed is refused', async () => {
    const viewer = await stage.viewer();
    viewer.send({ type: 'hello', version: FEED_VERSION + 1 });
    await until('the end', () => viewer.closed !== undefined);
    expect(viewer.closed).toEqual({ code: 4001, reason: expect.stringContaining('another version') });
  });

  test('a MIDI file is received in parts and prepared; a bad one is refused in the words of the reader', async () => {
    const player = await stage.player();
    const send = async (name: string, bytes: Uint8Array) => {
      const parts = toFileParts(1, name, Buffer.from(bytes).toString('base64'), bytes.length);
      if (!parts.ok) throw new Error(parts.problem.message);
      for (const part of parts.value) player.send(part);
    };
    const track = [0x00, 0x90, 60, 80, 0x60, 0x80, 60, 64, 0x00, 0xff, 0x2f, 0x00];
    const file = [
      0x4d,
      0x54,
      0x68,
      0x64,
      0,
      0,
      0,
      6,
      0,
      0,
      0,
      1,
      0,
      0x60,
      0x4d,
      0x54,
      0x72,
      0x6b,
      0,
      0,
      0,
      track.length,
      ...track,
    ];
    await send('note.mid', Uint8Array.from(file));
    await until('a piece', () => stage.told.some(({ kind }) => kind === 'piece'));
    const told = stage.told.find((one) => one.kind === 'piece');
    expect(
      told?.kind === 'piece' && {
        ...told.piece,
        timesMs: [...told.piece.timesMs],
        messages: [...told.piece.messages],
      },
    ).toEqual({
      barsMs: [0],
      name: 'note.mid',
      title: 'note.mid',
      lengthMs: 500,
      timesMs: [0, 500],
      messages: [0x90, 60, 80, 0x80, 60, 64],
    });
    await until('its receipt', () => player.of('taken').length === 1);
    expect(player.of('taken')).toEqual([{ type: 'taken', upload: 1, part: 0 }]);
    await send('letter.doc', Uint8Array.from(Buffer.from('Dear organist')));
    await until('a refusal', () => player.of('refused').length === 1);
    expect(player.of('refused')[0].code).toBe('BAD_FILE');
    expect(player.of('refused')[0].text).toMatch(/^letter\.doc: .*MIDI/);
  });
});

describe('hostile clients of the feed server:', () => {
  test('a socket from another origin, or by another name, never opens', async () => {
    for (const headers of [{ Origin: 'http://evil.example' }, { Host: 'evil.example' }]) {
      const client = new FeedClient(`ws://${stage.address}`, headers);
      await until('a refusal', () => client.refused !== undefined);
      expect(client.refused?.status).toBe(403);
      expect(client.refused?.text).toMatch(/Leeway/);
      expect(client.messages).toEqual([]);
    }
    const elsewhere = new FeedClient(`ws://${stage.address}`, {}, '/other');
    await until('a refusal', () => elsewhere.refused !== undefined);
    expect(elsewhere.refused?.status).toBe(404);
  });

  test('a message that is too long ends its socket with 1009', async () => {
    const client = await stage.viewer();
    client.socket.send('x'.repeat(5000));
    await until('the end', () => client.closed !== undefined);
    expect(client.closed?.code).toBe(1009);
  });

  test('nonsense is refused, and who continues is disconnected; the others keep their frames', async () => {
    const [good, bad] = [await stage.viewer(), await stage.player()];
    for (const text of [
      '',
      '{',
      'null',
      '[]',
      '{"type":"play"}',
      '{"type":"play","act":"on","key":128,"velocity":1}',
      '{"type":"hello","version":1,"__proto__":{"x":1},"more":1}',
    ])
      bad.socket.send(text);
    bad.socket.send(Buffer.from([0, 1, 2]));
    await until('refusals', () => bad.of('refused').length === 8);
    expect(new Set(bad.of('refused').map(({ code }) => code))).toEqual(new Set(['MALFORMED']));
    for (let i = 0; i < 20; i++) bad.socket.send('{');
    await until('the end', () => bad.closed !== undefined);
    expect(bad.closed).toMatchObject({ code: 1008 });
    stage.play(0x90, 60, 80);
    await good.sees('a note', ({ notes }) => notes.length === 1);
    expect(stage.orders()).toEqual([]);
  });

  test('bytes that are no WebSocket frames, and half a request, do no harm', async () => {
    const good = await stage.viewer();
    const raw = connect(stage.port, '127.0.0.1');
    raw.on('error', () => {});
    raw.write(
      `GET /feed HTTP/1.1\r\nHost: ${stage.address}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n`,
    );
    await pause(50);
    // Reserved bits set, an opcode nobody knows, no mask, a length of 2^63.
    raw.write(Uint8Array.of(0xff, 0x7f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff));
    const half = connect(stage.port, '127.0.0.1');
    half.on('error', () => {});
    half.write('GET / HT');
    const noise = connect(stage.port, '127.0.0.1');
    noise.on('error', () => {});
    noise.write(Buffer.alloc(20_000, 0xff));
    raw.resume();
    noise.resume();
    await until('their end', () => raw.closed && noise.closed);
    stage.play(0x90, 60, 80);
    await good.sees('a note', ({ notes }) => notes.length === 1);
    for (const socket of [raw, half, noise]) socket.destroy();
  });
});
