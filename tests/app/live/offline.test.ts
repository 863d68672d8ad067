import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { LIVE_BEND_RANGE } from '../../../src/app/live/live-settings.js';
import { retune } from '../../../src/app/retune.js';
import {
  type MidiFile,
  parseMidiFile,
  type Track,
  type TrackEvent,
  toTempoMap,
  tracksOf,
} from '../../../src/core/midi/index.js';
import { type Role, visitInOrder } from '../../../src/core/score/index.js';
import { STRATEGIES, type Strategy, toSettings } from '../../../src/core/tuner/index.js';
import { readCorpora } from '../../bench/corpus/pieces.js';
import { Stage, stageSettings } from '../../support/stage.js';

const read = (bytes: Uint8Array): MidiFile => {
  const outcome = parseMidiFile(bytes);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value.file;
};

const demo = (name: string): MidiFile =>
  read(readFileSync(fileURLToPath(new URL(`../../../configs/demo/${name}.mid`, import.meta.url))));

const [{ pieces }] = readCorpora(fileURLToPath(new URL('../../corpus', import.meta.url)));

/** What a session sends when the messages of a file are played into it at their times, after it was set up. */
function playLive(
  file: MidiFile,
  strategy: Strategy,
  kind: 'mpe' | 'multichannel',
  channel?: number,
): number[][] {
  const settings = stageSettings({}, { strategy });
  const stage = new Stage({ ...settings, outlets: [{ ...settings.outlets[0], kind }] });
  const setUp = stage.synth.messages.length;
  const { toMs } = toTempoMap(file);
  const startMs = stage.nowMs;
  visitInOrder(tracksOf(file), (event) => {
    if (event.kind !== 'channel') return;
    stage.wait(startMs + toMs(event.tick) - stage.nowMs);
    const status = channel === undefined ? event.status : (event.status & 0xf0) | channel;
    const isShort = (status & 0xe0) === 0xc0;
    stage.keys.feed(...(isShort ? [status, event.data1] : [status, event.data1, event.data2]));
  });
  stage.wait(100);
  return stage.synth.messages.slice(setUp);
}

/** What `retune` writes, in order, from its first note or controller on. */
function playOffline(file: MidiFile, strategy: Strategy, kind: 'mpe' | 'multichannel'): number[][] {
  const { file: retuned } = retune(file, {
    settings: toSettings({ strategy }),
    outlet: { kind, bendRange: LIVE_BEND_RANGE[kind] },
    plan: 'live',
  });
  const sent: number[][] = [];
  visitInWritingOrder(retuned, (message) => sent.push(message));
  const setUp = sent.findIndex(
    ([status], i) => (status & 0xf0) !== 0xb0 && sent[i + 1] !== undefined && (status & 0xf0) !== 0xe0,
  );
  return sent.slice(setUp);
}

function visitInWritingOrder(file: MidiFile, visit: (message: number[]) => void): void {
  for (const { events } of tracksOf(file)) {
    for (const event of events) {
      if (event.kind !== 'channel') continue;
      const { status, data1, data2 } = event;
      visit((status & 0xe0) === 0xc0 ? [status, data1] : [status, data1, data2]);
    }
  }
}

/** All channels of a file on the first, so that it is one part. */
function onOneChannel(file: MidiFile): MidiFile {
  return {
    ...file,
    format: 0,
    chunks: [
      {
        kind: 'track',
        events: tracksOf(file)
          .flatMap(({ events }) => events)
          .map((event) => (event.kind === 'channel' ? { ...event, status: event.status & 0xf0 } : event))
          .sort((a, b) => a.tick - b.tick),
      },
    ],
  };
}

describe.each(['free', 'pull', 'anchored'] as const)(
  'live playing sends the same notes at the same times as a retuned file, %s',
  (strategy) => {
    test.each(['choir-warm-up', 'chapel-suspensions', 'trio-of-thirds', 'organ-sevenths'])(
      'live playing of %s sends what retune writes, over plain channels',
      (name) => {
        const file = demo(name);
        const offline = playOffline(file, strategy, 'multichannel');
        const live = playLive(file, strategy, 'multichannel');
        expect(offline.length).toBeGreaterThan(20);
        expect(fromFirstNote(live)).toEqual(fromFirstNote(offline));
      },
    );

    test('live playing of a chorale on one channel sends what retune writes, over MPE', () => {
      const file = onOneChannel(read(pieces[0].bytes));
      const offline = playOffline(file, strategy, 'mpe');
      const live = playLive(file, strategy, 'mpe');
      expect(offline.length).toBeGreaterThan(100);
      expect(fromFirstNote(live)).toEqual(fromFirstNote(offline));
    });
  },
);

const MEANTONE = [0, -24, -7, 10, -14, 3, -21, -3, -27, -10, 7, -17];
const ROLES: readonly Role[] = ['tuned', 'fixed', 'guide', 'untuned'];

describe.each(STRATEGIES)(
  'live playing with partners decides what retune decides for the same roles, %s',
  (strategy) => {
    test.each([
      [['tuned', 'tuned', 'tuned', 'fixed']],
      [['tuned', 'guide', 'tuned', 'fixed']],
      [['fixed', 'tuned', 'untuned', 'fixed']],
      [['guide', 'tuned', 'tuned', 'untuned']],
    ] as const)('live playing of a chorale whose voices are %j sends what retune writes', (voices) => {
      const file = read(pieces[0].bytes);
      const roleOf = (track: number): Role => (track === 0 ? 'tuned' : voices[track - 1]);
      const roles = voices.map((role, i) => ({
        number: i + 1,
        role,
        ...(role === 'fixed' && { fixedCents: MEANTONE }),
      }));
      // What passes of a guide, such as its program, keeps its channel too.
      const channels = [0, 1, 2, 3].filter((i) => voices[i] === 'tuned').concat(4, 5, 6, 7);
      const tuner = { strategy };
      const { file: retuned } = retune(file, {
        settings: toSettings(tuner),
        outlet: { kind: 'multichannel', bendRange: LIVE_BEND_RANGE.multichannel, channels },
        plan: 'live',
        roles,
      });
      const settings = stageSettings({}, tuner);
      const [input] = settings.inputs;
      const [outlet] = settings.outlets;
      const stage = new Stage({
        ...settings,
        inputs: ROLES.map((role) => ({ ...input, port: role, role, fixedCents: MEANTONE })),
        outlets: [
          { ...outlet, kind: 'multichannel', channels, from: ['tuned', 'guide'] },
          { ...outlet, port: 'Pipes', kind: 'mts', from: ['fixed', 'untuned'] },
        ],
      });
      const ports = Object.fromEntries(ROLES.map((role) => [role, stage.machine.plugKeys(role)]));
      const pipes = stage.machine.plugSynth('Pipes');
      stage.wait(600);
      const [setUp, piped] = [stage.synth.messages.length, pipes.messages.length];
      const { toMs } = toTempoMap(file);
      const startMs = stage.nowMs;
      visitInOrder(tracksOf(file), (event, track) => {
        if (event.kind !== 'channel') return;
        stage.wait(startMs + toMs(event.tick) - stage.nowMs);
        ports[roleOf(track)].feed(...toBytes(event));
      });
      stage.wait(100);
      const tracks = tracksOf(retuned);
      const written = (track: Track) =>
        track.events.flatMap((event) => (event.kind === 'channel' ? [toBytes(event)] : []));
      const tuned = written(tracks[tracks.length - 1]);
      expect(tuned.length).toBeGreaterThan(100);
      expect(fromFirstNote(stage.synth.messages.slice(setUp))).toEqual(fromFirstNote(tuned));
      const passed = tracks.flatMap((track, i) => (/fixed|untuned/.test(roleOf(i)) ? written(track) : []));
      const sort = (messages: readonly number[][]) => messages.map((message) => message.join(' ')).sort();
      expect(sort(pipes.messages.slice(piped))).toEqual(sort(passed));
    });
  },
);

/** A message as its bytes on the wire. */
function toBytes({ status, data1, data2 }: TrackEvent & { kind: 'channel' }): number[] {
  return (status & 0xe0) === 0xc0 ? [status, data1] : [status, data1, data2];
}

/** Drops the setting up of the receiver, which a session sends when its port opens and a file before its first note. */
function fromFirstNote(messages: readonly number[][]): number[][] {
  const first = messages.findIndex(([status]) => (status & 0xf0) === 0x90);
  return messages.slice(first);
}
