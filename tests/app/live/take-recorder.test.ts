import { open, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { DEFAULT_OUTLET, type LiveSettings } from '../../../src/app/live/live-settings.js';
import type { SessionEvent } from '../../../src/app/live/session-event.js';
import { TakeRecorder } from '../../../src/app/live/take-recorder.js';
import { retune } from '../../../src/app/retune.js';
import {
  isNoteOff,
  isNoteOn,
  type MidiFile,
  parseMidiFile,
  SYSEX,
  type TrackEvent,
  toTempoMap,
  tracksOf,
} from '../../../src/core/midi/index.js';
import { visitInOrder } from '../../../src/core/score/index.js';
import type { OpenNew } from '../../../src/io/files/index.js';
import { CONCERT } from '../../support/concert.js';
import { numbers } from '../../support/numbers.js';
import { readElsewhere } from '../../support/other-reader.js';
import { Stage, stageSettings } from '../../support/stage.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const AT = new Date(2026, 2, 1, 20, 5, 9);
const TICK_MS = 0.05;

/** A stage whose session is recorded into the test's folder, and what the recorder told. */
async function record(settings: LiveSettings = stageSettings(), openNew?: OpenNew) {
  const told: SessionEvent[] = [];
  let stage: Stage | undefined;
  const clock = { now: () => stage?.nowMs ?? 1000, every: () => ({ stop: () => {} }) };
  const take = new TakeRecorder(folder(), settings, AT, {
    clock,
    tell: (event) => told.push(event),
    ...(openNew && { openNew }),
  });
  await take.start();
  stage = new Stage(settings, undefined, { ...take.edges, tell: (event) => take.note(event) });
  return { take, told, stage };
}

const at = (name: string) => join(folder(), '2026-03-01 20-05-09', name);

async function read(name: string): Promise<MidiFile> {
  const outcome = parseMidiFile(await readFile(at(name)));
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(outcome.value.warnings).toEqual([]);
  return outcome.value.file;
}

/** The messages of a take's file as they went over the wire, with their times since it began. */
function toMessages(file: MidiFile): { atMs: number; bytes: number[] }[] {
  const { toMs } = toTempoMap(file);
  return tracksOf(file)[0]
    .events.filter((event) => event.kind !== 'meta')
    .map((event) => ({ atMs: toMs(event.tick), bytes: toWire(event) }));
}

function toWire(event: TrackEvent): number[] {
  if (event.kind === 'channel') {
    const { status, data1, data2 } = event;
    return (status & 0xe0) === 0xc0 ? [status, data1] : [status, data1, data2];
  }
  return event.kind === 'sysex' && event.lead === SYSEX ? [SYSEX, ...event.data] : [...event.data];
}

async function readLines(): Promise<Record<string, unknown>[]> {
  const text = await readFile(at('ledger.jsonl'), 'utf8');
  expect(text.endsWith('\n')).toBe(true);
  return text
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
}

describe('a take', () => {
  test('has all that was received and all that was sent, each message at its time', async () => {
    const { take, told, stage } = await record();
    const fed: { atMs: number; bytes: number[] }[] = [];
    for (const { waitMs, bytes } of CONCERT) {
      stage.wait(waitMs + 0.37);
      fed.push({ atMs: stage.nowMs - 1000, bytes: [...bytes] });
      stage.keys.feed(...bytes);
      if (fed.length % 7 === 0) await take.flush();
    }
    stage.session.stop();
    await take.stop();
    const sent = stage.synth.received.map(({ bytes, sentMs }) => ({
      atMs: sentMs - 1000,
      bytes: [...bytes],
    }));
    for (const [name, expected] of [
      ['in-1 Keys.mid', fed],
      ['out-1 Synth.mid', sent],
    ] as const) {
      const file = await read(name);
      expect(file.format).toBe(0);
      const found = toMessages(file);
      expect(found.map(({ bytes }) => bytes)).toEqual(expected.map(({ bytes }) => bytes));
      const late = found.map(({ atMs }, i) => Math.abs(atMs - expected[i].atMs));
      expect(Math.max(...late)).toBeLessThanOrEqual(TICK_MS / 2 + 1e-9);
    }
    expect(told).toEqual([
      { kind: 'take-begun', folder: at('.') },
      { kind: 'take-ended', folder: at('.'), messages: fed.length + sent.length, dropped: 0 },
    ]);
    expect((await readdir(at('.'))).sort()).toEqual(['in-1 Keys.mid', 'ledger.jsonl', 'out-1 Synth.mid']);
  });

  test('also has what asked for an action and what a fuse held back', async () => {
    const on = { kind: 'controller', number: 67, channel: undefined, input: undefined } as const;
    const actions = [{ on, action: 'home-next', strategy: undefined }] as const;
    const { take, stage } = await record(stageSettings({ actions, fuse: 100 }));
    stage.keys.feed(0xb0, 67, 127);
    for (let i = 0; i < 150; i++) stage.keys.feed(0xb0, 1, i & 0x7f);
    stage.session.stop();
    await take.stop();
    const heard = toMessages(await read('in-1 Keys.mid'));
    expect(heard).toHaveLength(151);
    expect(heard[0].bytes).toEqual([0xb0, 67, 127]);
    const kinds = (await readLines()).map(({ kind }) => kind);
    expect(kinds).toContain('acted');
    expect(kinds).toContain('fuse-open');
  });

  test('is on disk up to the last flush though it was not stopped', async () => {
    const { take, stage } = await record();
    stage.strike(60, 64, 67).wait(100);
    await take.flush();
    stage.lift(60);
    const bytes = await readFile(at('in-1 Keys.mid'));
    const notes = (events: readonly (TrackEvent | undefined)[]) =>
      events.flatMap((event) => (event?.kind === 'channel' ? [event.data1] : []));
    const outcome = parseMidiFile(bytes);
    expect(outcome.ok && notes(tracksOf(outcome.value.file)[0].events)).toEqual([60, 64, 67]);
    expect(notes(readElsewhere(bytes)[0])).toEqual([60, 64, 67]);
    await take.stop();
  });

  test('has a ledger with the settings, what happened, and every entry with its exact ratio', async () => {
    const { take, stage } = await record(stageSettings({}, { strategy: 'free' }));
    for (const keys of numbers('48 60 64 67, 45 60 64 69, 50 62 65 69, 43 62 67 71, 48 60 64 67')) {
      stage.strike(...keys).wait(8000);
      stage.lift(...keys).wait(8000);
    }
    stage.strike(60).wait(100);
    stage.session.tuning.change({ ...stage.session.settings.tuner, limit: 7 });
    stage.session.stop();
    await take.stop();
    const lines = await readLines();
    expect(lines[0]).toEqual({
      kind: 'leeway take',
      version: 1,
      startedAt: AT.toISOString(),
      ticksPerMs: 20,
    });
    expect(lines[1]).toMatchObject({
      kind: 'settings',
      tuning: { strategy: 'free' },
      inputs: [{ port: 'Keys' }],
    });
    expect(lines.find(({ kind }) => kind === 'tuning-changed')).toMatchObject({ tuning: { limit: 7 } });
    const offset = lines.find(({ kind }) => kind === 'offset');
    expect(offset).toMatchObject({ cause: 'first strike' });
    expect(lines.filter(({ kind }) => kind === 'opened')).toHaveLength(2);
    for (const { ratio, cents } of lines.filter(({ kind }) => kind === 'return')) {
      const [above, below] = String(ratio).split('/').map(Number);
      expect(cents).toBeCloseTo(1200 * Math.log2(above / below), 9);
    }
    expect(lines.some(({ kind }) => kind === 'return')).toBe(true);
  });

  test('gets files for ports of new settings; another folder counts from the next start', async () => {
    const { take, told, stage } = await record();
    const second = stage.machine.plugSynth('Module');
    const before = stageSettings();
    const outlets = [...before.outlets, { ...DEFAULT_OUTLET, port: 'Module', virtual: false }];
    stage.session.reload({ ...before, outlets, takeDirectory: '/elsewhere' });
    expect(stage.events).toContainEqual({ kind: 'take-later', directory: '/elsewhere' });
    stage.strike(60);
    stage.session.stop();
    await take.stop();
    expect(toMessages(await read('out-2 Module.mid')).map(({ bytes }) => bytes)).toEqual(second.messages);
    expect(told.map(({ kind }) => kind)).toEqual(['take-begun', 'take-ended']);
    stage.session.reload({ ...before, outlets, takeDirectory: '/elsewhere' });
    expect(stage.events.filter(({ kind }) => kind === 'take-later')).toHaveLength(1);
  });
});

test('the input file of a take, when retuned later, gives the notes that were sent', async () => {
  const piece = parseMidiFile(
    await readFile(new URL('../../../configs/demo/choir-warm-up.mid', import.meta.url)),
  );
  if (!piece.ok) throw new Error(piece.problem.message);
  const { file } = piece.value;
  const settings = stageSettings({}, { strategy: 'pull' });
  const { take, stage } = await record(settings);
  stage.wait(123.456);
  const startMs = stage.nowMs;
  const { toMs } = toTempoMap(file);
  const events = tracksOf(file);
  visitInOrder(events, (event, track) => {
    if (event.kind !== 'channel' || track > 1) return;
    stage.wait(startMs + toMs(event.tick) - stage.nowMs);
    stage.keys.feed(...toWire({ ...event, status: event.status & 0xf0 }));
  });
  stage.wait(500);
  stage.session.stop();
  await take.stop();

  const outlet = { kind: 'mpe', bendRange: undefined } as const;
  const how = { settings: settings.tuner, outlet, plan: 'live' } as const;
  const { file: retuned } = retune(await read('in-1 Keys.mid'), how);
  const toNotes = (its: MidiFile) =>
    toMessages(its)
      .filter(({ bytes: [status, , data2] }) => isNoteOn(status, data2) || isNoteOff(status, data2))
      .map(({ atMs, bytes }) => ({ atMs, note: bytes.join(' ') }))
      .sort((a, b) => (a.note < b.note ? -1 : a.note > b.note ? 1 : a.atMs - b.atMs));
  const live = toNotes(await read('out-1 Synth.mid'));
  const later = toNotes(retuned);
  expect(live.length).toBeGreaterThan(40);
  expect(later.map(({ note }) => note)).toEqual(live.map(({ note }) => note));
  const apart = later.map(({ atMs }, i) => Math.abs(atMs - live[i].atMs));
  expect(Math.max(...apart)).toBeLessThanOrEqual(TICK_MS);
});

describe('a failure is reported once, the take ends, and the playing goes on:', () => {
  /** The disk is full from the n-th write on. */
  const fullFrom = (n: number): OpenNew => {
    let writes = 0;
    return async (path) => {
      const file = await open(path, 'wx');
      return {
        write: (bytes, offset, length, position) =>
          ++writes >= n
            ? Promise.reject(Object.assign(new Error('full'), { code: 'ENOSPC' }))
            : file.write(bytes, offset, length, position),
        stat: () => file.stat(),
        close: () => file.close(),
      };
    };
  };

  test('the disk is full, at any write', async () => {
    for (let n = 1; n <= 16; n++) {
      const { take, told, stage } = await record(stageSettings(), fullFrom(n));
      for (let i = 0; i < 6; i++) {
        stage.strike(60 + i).wait(50);
        await take.flush();
      }
      expect(told.filter(({ kind }) => kind === 'take-failed')).toMatchObject([
        { error: { code: 'FILE_NO_SPACE' } },
      ]);
      expect(take.isOn).toBe(false);
      expect(stage.model().voices).toHaveLength(6);
      stage.session.stop();
      await take.stop();
      expect(stage.told()).not.toContain('fault');
      expect(told.map(({ kind }) => kind)).not.toContain('take-ended');
      for (const name of (await readdir(at('.'))).filter((one) => one.endsWith('.mid'))) {
        expect(parseMidiFile(await readFile(at(name))).ok).toBe(true);
      }
      await rm(at('.'), { recursive: true });
    }
  });

  test('the folder is removed', async () => {
    const { take, told, stage } = await record();
    await rm(at('.'), { recursive: true });
    await take.flush();
    expect(told.at(-1)).toMatchObject({ kind: 'take-failed', error: { code: 'FILE_NO_FOLDER' } });
    stage.strike(60);
    expect(stage.model().voices).toHaveLength(1);
    await take.stop();
    expect(told).toHaveLength(2);
  });

  test('the folder cannot be made', async () => {
    await writeFile(join(folder(), 'takes'), '');
    const told: SessionEvent[] = [];
    const clock = { now: () => 0, every: () => ({ stop: () => {} }) };
    const tell = (event: SessionEvent) => told.push(event);
    const take = new TakeRecorder(join(folder(), 'takes'), stageSettings(), AT, { clock, tell });
    await take.start();
    take.edges.onSent('Synth', Uint8Array.of(0xf8));
    await take.stop();
    expect(told).toMatchObject([{ kind: 'take-failed', error: { code: 'FOLDER_FAILED' } }]);
  });

  test('a disk that is too slow makes a take drop what memory has no room for, and it is counted and reported once', async () => {
    const { take, told, stage } = await record(stageSettings({ fuse: 100_000 }));
    for (let i = 0; i < 65_536 + 100; i++) take.edges.inputListener.channel(1000, 'Keys', 0xb0, 1, 0);
    expect(take.dropped).toBe(100);
    await take.flush();
    for (let i = 0; i < 65_536 + 1; i++) take.edges.inputListener.channel(1000, 'Keys', 0xb0, 1, 0);
    stage.session.stop();
    await take.stop();
    expect(told.map(({ kind }) => kind)).toEqual(['take-begun', 'take-gap', 'take-ended']);
    expect(told.at(-1)).toMatchObject({ dropped: 101 });
    expect(toMessages(await read('in-1 Keys.mid'))).toHaveLength(2 * 65_536);
  });
});
