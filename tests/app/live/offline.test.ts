import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { LIVE_BEND_RANGE } from '../../../src/app/live/live-settings.js';
import { retune } from '../../../src/app/retune.js';
import { type MidiFile, parseMidiFile, toTempoMap, tracksOf } from '../../../src/core/midi/index.js';
import { visitInOrder } from '../../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../../src/core/tuner/index.js';
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

/** Drops the setting up of the receiver, which a session sends when its port opens and a file before its first note. */
function fromFirstNote(messages: readonly number[][]): number[][] {
  const first = messages.findIndex(([status]) => (status & 0xf0) === 0x90);
  return messages.slice(first);
}
