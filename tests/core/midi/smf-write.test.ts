import { describe, expect, test } from 'vitest';
import {
  formatEvents,
  formatMidiFile,
  type MidiFile,
  parseMidiFile,
  type TrackEvent,
  tracksOf,
} from '../../../src/core/midi/index.js';
import { fileOf, hex, oneTrack } from '../../support/midi-bytes.js';

const note = (tick: number, velocity = 64): TrackEvent => ({
  kind: 'channel',
  tick,
  status: 0x90,
  data1: 60,
  data2: velocity,
});
const end = (tick: number): TrackEvent => ({ kind: 'meta', tick, type: 0x2f, data: new Uint8Array(0) });

describe('a written MIDI file', () => {
  test('has a status in every event, and an end-of-track at the last tick if it was missing', () => {
    expect(formatMidiFile(fileOf([note(0), note(96, 0)]))).toEqual(
      oneTrack('00 90 3C 40 60 90 3C 00 00 FF 2F 00'),
    );
  });

  test('has an end in an empty track', () => {
    expect(formatMidiFile(fileOf([]))).toEqual(oneTrack('00 FF 2F 00'));
  });

  test('has an end-of-track that was not last at the end', () => {
    expect(formatMidiFile(fileOf([end(5), note(16)]))).toEqual(oneTrack('10 90 3C 40 00 FF 2F 00'));
  });

  test('has one data byte where a message has only one', () => {
    const program: TrackEvent = { kind: 'channel', tick: 0, status: 0xc1, data1: 5, data2: 0 };
    expect(formatMidiFile(fileOf([program, end(0)]))).toEqual(oneTrack('00 C1 05 00 FF 2F 00'));
  });

  test('bridges a wait too long for one delta-time, and every tick comes back', () => {
    const far = 3 * 0x0fffffff + 5;
    const bytes = formatMidiFile(fileOf([note(far), end(far + 0x10000000)]));
    const outcome = parseMidiFile(bytes);
    if (!outcome.ok) throw new Error(outcome.problem.message);
    expect(outcome.value.warnings).toEqual([]);
    const events = tracksOf(outcome.value.file)[0].events;
    const bridge = (tick: number) => ({ kind: 'meta', tick, type: 1, data: new Uint8Array(0) });
    expect(events).toEqual([
      ...[1, 2, 3].map((times) => bridge(times * 0x0fffffff)),
      note(far),
      bridge(far + 0x0fffffff),
      end(far + 0x10000000),
    ]);
  });

  test('needs no bridge for the longest wait', () => {
    expect(formatMidiFile(fileOf([end(0x0fffffff)]))).toEqual(oneTrack('FF FF FF 7F FF 2F 00'));
  });
});

test.each<[string, MidiFile]>([
  ['ticks that run back', fileOf([note(5), note(4)])],
  ['a tick below 0', fileOf([note(-1)])],
  ['half a tick', fileOf([note(0.5)])],
  ['no tick', fileOf([end(Number.NaN)])],
  ['a status that is none', fileOf([{ kind: 'channel', tick: 0, status: 0x70, data1: 0, data2: 0 }])],
  [
    'a system status in a channel event',
    fileOf([{ kind: 'channel', tick: 0, status: 0xf0, data1: 0, data2: 0 }]),
  ],
  ['a data byte of 128', fileOf([note(0, 128)])],
  // Four bytes of seven bits hold one less; the zeros are never touched.
  ['268 435 456 bytes of text', fileOf([{ kind: 'meta', tick: 0, type: 1, data: new Uint8Array(2 ** 28) }])],
  ['a meta type of 128', fileOf([{ kind: 'meta', tick: 0, type: 128, data: hex('00') }])],
  ['no ticks a quarter note', { ...fileOf([]), division: { kind: 'ppq', ticksPerQuarter: 0 } }],
  [
    '256 ticks a frame',
    { ...fileOf([]), division: { kind: 'smpte', framesPerSecond: 25, ticksPerFrame: 256 } },
  ],
  [
    'a chunk name of three letters',
    { ...fileOf([]), chunks: [{ kind: 'unknown', id: hex('41 42 43'), data: hex('00') }] },
  ],
  [
    '65536 tracks',
    { ...fileOf([]), chunks: Array.from({ length: 65536 }, () => ({ kind: 'track', events: [] })) },
  ],
])('a mistake of the program is not written: %s', (_name, file) =>
  expect(() => formatMidiFile(file)).toThrow(RangeError),
);

test('a piece of a track waits from the tick it goes on from', () => {
  expect(formatEvents([note(96), note(96, 0), end(100)], 90)).toEqual(
    hex('06 90 3C 40 00 90 3C 00 04 FF 2F 00'),
  );
});

test('a piece of a track refuses to go back', () =>
  expect(() => formatEvents([note(80)], 90)).toThrow(RangeError));
