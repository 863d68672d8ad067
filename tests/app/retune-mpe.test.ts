import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createOutlet } from '../../src/app/outlet-choice.js';
import { retune } from '../../src/app/retune.js';
import {
  formatMidiFile,
  META,
  type MidiFile,
  type Track,
  type TrackEvent,
  toTempoMap,
  tracksOf,
} from '../../src/core/midi/index.js';
import { DEFAULT_PLAN, type Planning, visitInOrder } from '../../src/core/score/index.js';
import { toSettings } from '../../src/core/tuner/index.js';
import { type Move, MpeKeys, move } from '../support/mpe-keys.js';
import { readElsewhere } from '../support/other-reader.js';
import { forAll } from '../support/properties.js';
import { Stage, stageSettings } from '../support/stage.js';
import { SynthModel } from '../support/synth-model.js';

const KINDS = ['mpe', 'multichannel'] as const;
const RANGES = { mpe: 48, multichannel: 24 };
/** 50 ms at 480 ticks a quarter note and 120 a minute. */
const STEP = 48;

type Message = readonly [tick: number, status: number, data1: number, data2: number];

/** Random playing of an MPE keyboard, with its configuration in front and everything lifted at the end. */
function perform(moves: readonly Move[]): Message[] {
  const messages: Message[] = [];
  let tick = 0;
  const keys = new MpeKeys((status, data1, data2 = 0) => messages.push([tick, status, data1, data2]));
  const down = new Map<string, readonly [finger: number, key: number]>();
  keys.configure(15);
  for (const { what, finger, key, value } of moves) {
    if (value % 3 > 0) tick += STEP;
    const name = `${finger} ${key}`;
    const held = [...down][value % Math.max(1, down.size)];
    if (what === 'on' && down.size < 10 && !down.has(name)) {
      down.set(name, [finger, key]);
      keys.on(finger, key, Math.max(1, value));
    } else if (what === 'off' && held !== undefined) {
      down.delete(held[0]);
      keys.off(...held[1], value);
    } else if (what === 'bend') keys.bend(finger, 8192 + 8 * (value - 64));
    else if (what === 'press') keys.press(finger, value);
    else if (what === 'slide') keys.slide(finger, value);
    else if (what === 'wheel') messages.push([tick, 0xe0, 0, value]);
    else if (what === 'range') keys.range(finger, 12 + (value % 37));
    else if (what === 'pedal') keys.control(64, value < 64 ? 0 : 127);
  }
  tick += STEP;
  for (const one of down.values()) keys.off(...one);
  keys.control(64, 0);
  return messages;
}

const toTrack = (events: readonly TrackEvent[]): Track => ({
  kind: 'track',
  events: [
    ...events,
    { kind: 'meta', tick: events.at(-1)?.tick ?? 0, type: META.endOfTrack, data: new Uint8Array(0) },
  ],
});

function toFile(...tracks: readonly (readonly Message[])[]): MidiFile {
  return {
    format: tracks.length > 1 ? 1 : 0,
    division: { kind: 'ppq', ticksPerQuarter: 480 },
    headerExtra: new Uint8Array(0),
    chunks: tracks.map((messages) =>
      toTrack(
        messages.map(([tick, status, data1, data2]) => ({ kind: 'channel', tick, status, data1, data2 })),
      ),
    ),
    wrapper: 'none',
  };
}

/** What is heard of each note, by the tick: its cents, pressure and CC 74 after all that happens then. */
function listen(messages: readonly Message[], ticks: readonly number[]) {
  const model = new SynthModel();
  const heard = new Map<string, { cents: number; pressure: number; timbre: number }>();
  const velocities: number[] = [];
  let at = 0;
  for (const tick of ticks) {
    for (; at < messages.length && messages[at][0] <= tick; at++) {
      const [, status, data1, data2] = messages[at];
      model.channel(status, data1, data2);
      if ((status & 0xf0) === 0x90) velocities.push(data2);
    }
    for (const voice of model.voices) {
      if (!voice.isDown) continue;
      const { pressure, controllers } = model.channels[voice.channel];
      heard.set(`${voice.serial} at ${tick}`, {
        cents: model.centsOf(voice),
        pressure,
        timbre: controllers[74],
      });
    }
  }
  return { heard, velocities, model };
}

const inOrder = (file: MidiFile): Message[] => {
  const messages: Message[] = [];
  visitInOrder(tracksOf(file), (event) => {
    if (event.kind === 'channel') messages.push([event.tick, event.status, event.data1, event.data2]);
  });
  return messages;
};

/** The messages of a file, as another program reads them. */
function readMessages(file: MidiFile): Message[] {
  const tracks = readElsewhere(formatMidiFile(file));
  return tracks
    .flat()
    .filter((event) => event?.kind === 'channel')
    .map((event) => [event.tick, event.status, event.data1, event.data2] as const)
    .sort(([a], [b]) => a - b);
}

describe.each(KINDS)('property: a file from an MPE keyboard, retuned over %s', (kind) => {
  const outlet = { kind, bendRange: RANGES[kind] };
  const playing = fc.array(move, { minLength: 20, maxLength: 80 });

  test('has the same notes, and each its own pressure, CC 74 and bend beside its tuning', () => {
    let compared = 0;
    const plan = fc.constantFrom<Planning>('live', DEFAULT_PLAN);
    forAll([playing, plan], 100, (moves, planning) => {
      const file = toFile(perform(moves));
      const tuned: (readonly [atMs: number, id: number, cents: number])[] = [];
      const settings = toSettings({ strategy: 'free' });
      const { file: after, sequences } = retune(
        file,
        { settings, outlet, plan: planning },
        {
          start: (atMs, { id, key }, cents) => tuned.push([atMs, id, cents - 100 * key]),
          retune: (atMs, { id, key }, cents) => tuned.push([atMs, id, cents - 100 * key]),
        },
      );
      expect(sequences[0].parts.parts).toMatchObject(
        moves.length > 0 && sequences[0].parts.parts.length > 0 ? [{ channel: 0, role: 'tuned' }] : [],
      );
      const { toMs } = toTempoMap(file);
      const before = inOrder(file);
      const ticks = [...new Set(before.map(([tick]) => tick))];
      const played = listen(before, ticks);
      const heard = listen(readMessages(after), ticks);
      expect(heard.model.faults).toEqual([]);
      expect(heard.model.voices).toEqual([]);
      expect(heard.velocities).toEqual(played.velocities);
      if (sequences[0].outlets[0]?.counters.sharedNotes > 0) return;
      for (const [name, its] of played.heard) {
        const [serial, tick] = name.split(' at ').map(Number);
        const dueMs = toMs(tick) + 1e-6;
        const tuning = tuned.findLast(([atMs, id]) => id === serial && atMs <= dueMs)![2];
        const now = heard.heard.get(name)!;
        expect([now.pressure, now.timbre]).toEqual([its.pressure, its.timbre]);
        // Half a bend step, and the receivers' divisor.
        if (Math.abs(now.cents - its.cents - tuning) > 0.6)
          expect(now.cents).toBeCloseTo(its.cents + tuning, 0);
        compared++;
      }
    });
    expect(compared).toBeGreaterThan(100);
  });

  test('sends what a live session sends', () => {
    forAll([playing], 30, (moves) => {
      const file = toFile(perform(moves));
      const settings = stageSettings();
      const stage = new Stage({ ...settings, outlets: [{ ...settings.outlets[0], ...outlet }], fuse: 1e9 });
      const setUp = stage.synth.messages.length;
      const startMs = stage.nowMs;
      for (const [tick, status, data1, data2] of inOrder(file)) {
        stage.wait(startMs + toTempoMap(file).toMs(tick) - stage.nowMs);
        stage.keys.feed(...((status & 0xe0) === 0xc0 ? [status, data1] : [status, data1, data2]));
      }
      const live = stage.synth.messages.slice(setUp).map((bytes) => [...bytes]);
      const { file: after } = retune(file, { settings: settings.tuner, outlet, plan: 'live' });
      const [written] = tracksOf(after).map(({ events }) =>
        events
          .filter((event) => event.kind === 'channel')
          .map(({ status, data1, data2 }) =>
            (status & 0xe0) === 0xc0 ? [status, data1] : [status, data1, data2],
          ),
      );
      const opening = new SynthModel();
      if (written.length > 0) createOutlet(outlet, opening, () => 0).open();
      expect(written).toEqual([...opening.log, ...live]);
    });
  });
});

describe('a file from an MPE keyboard', () => {
  const configure = [101, 100, 6].map((controller, i): Message => [0, 0xb0, controller, [0, 6, 15][i]]);
  const settings = toSettings({});
  const outlet = { kind: 'mpe', bendRange: undefined } as const;
  const chord: Message[] = [1, 9, 2]
    .flatMap((finger, i): Message[] => [
      [0, 0xd0 | finger, 20 + finger, 0],
      [0, 0x90 | finger, 60 + 4 * i, 80],
      [480, 0x80 | finger, 60 + 4 * i, 64],
    ])
    .sort(([a], [b]) => a - b);

  test('is one part on one track, channel 10 included, with its manager’s controllers once', () => {
    const pedal: Message = [240, 0xb0, 64, 127];
    const file = toFile([...configure, ...chord.slice(0, 6), pedal, ...chord.slice(6)]);
    const { file: after, sequences } = retune(file, { settings, outlet, plan: 'live' });
    expect(sequences[0].parts.parts).toMatchObject([{ channel: 0, role: 'tuned' }]);
    expect(tracksOf(after)).toHaveLength(1);
    const messages = readMessages(after);
    expect(messages.filter(([, status, data1]) => (status & 0xf0) === 0xb0 && data1 === 64)).toEqual([pedal]);
    // The outlet's own configuration, and not the file's.
    expect(messages.filter(([, status, data1]) => status === 0xb0 && data1 === 6)).toHaveLength(2);
  });

  test('has an instrument for each track with a zone', () => {
    const file = toFile(
      [...configure, ...chord],
      [...configure, ...chord],
      [
        [0, 0x95, 48, 80],
        [480, 0x85, 48, 0],
      ],
    );
    for (const kind of ['mpe', 'multichannel', 'mts'] as const) {
      const { sequences } = retune(file, { settings, outlet: { kind, bendRange: undefined }, plan: 'live' });
      expect(sequences[0].parts.parts.map(({ channel }) => channel)).toEqual([0, 0, 5]);
      expect(sequences[0].noteCounts).toEqual([3, 3, 1]);
    }
  });

  test('without a configuration message is as before: a part for each channel, and percussion', () => {
    const { sequences } = retune(toFile(chord), { settings, outlet, plan: 'live' });
    expect(sequences[0].parts.parts.map(({ channel }) => channel)).toEqual([1, 2]);
  });
});
