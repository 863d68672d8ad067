import fc from 'fast-check';
import type { MidiFile, Track, TrackEvent } from '../../src/core/midi/index.js';

/** Three melodic channels, so that tracks share some, and percussion. */
const CHANNELS = [0, 1, 12, 9];

type At = (tick: number) => TrackEvent[];

const tick = fc.integer({ min: 0, max: 960 });
const channelOf = fc.constantFrom(...CHANNELS);

/** A note: of any length, 0 included, or without an end; ended by a note-off or a note-on of velocity 0. */
const note: fc.Arbitrary<TrackEvent[]> = fc
  .record({
    tick,
    channel: channelOf,
    key: fc.integer({ min: 40, max: 80 }),
    velocity: fc.integer({ min: 1, max: 127 }),
    length: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 400 })),
    end: fc.constantFrom('off', 'off', 'off', 'velocity 0', 'none'),
  })
  .map(({ tick: start, channel, key, velocity, length, end }) => {
    const on = channelEvent(start, 0x90 | channel, key, velocity);
    if (end === 'none') return [on];
    const last = start + length;
    return [
      on,
      end === 'off'
        ? channelEvent(last, 0x80 | channel, key, 40)
        : channelEvent(last, 0x90 | channel, key, 0),
    ];
  });

/** What else a channel says: pedals, volume, bank, program, pressures and bends. Nothing that lifts keys. */
const control: fc.Arbitrary<TrackEvent[]> = fc
  .record({
    tick,
    channel: channelOf,
    kind: fc.constantFrom<[number, number | undefined]>(
      [0xb0, 64],
      [0xb0, 66],
      [0xb0, 7],
      [0xb0, 0],
      [0xc0, undefined],
      [0xd0, undefined],
      [0xa0, undefined],
      [0xe0, undefined],
    ),
    data1: fc.integer({ min: 0, max: 127 }),
    data2: fc.integer({ min: 0, max: 127 }),
  })
  .map(({ tick: at, channel, kind: [status, controller], data1, data2 }) => {
    const single = status === 0xc0 || status === 0xd0;
    return [channelEvent(at, status | channel, controller ?? data1, single ? 0 : data2)];
  });

/** Metas of every kind, tempo changes and SysEx with a General MIDI reset among them. */
const other: fc.Arbitrary<TrackEvent[]> = fc
  .tuple(
    tick,
    fc.constantFrom<At>(
      (at) => [meta(at, 0x51, [0x03, 0x0d, 0x40])],
      (at) => [meta(at, 0x51, [0x0f, 0x42, 0x40])],
      (at) => [meta(at, 0x58, [3, 2, 24, 8])],
      (at) => [meta(at, 0x05, [0xe6, 0x9d, 0xb1])],
      (at) => [meta(at, 0x06, [0x41])],
      (at) => [meta(at, 0x03, [])],
      (at) => [meta(at, 0x7f, [1, 2, 3])],
      (at) => [{ kind: 'sysex', tick: at, lead: 0xf0, data: Uint8Array.of(0x7e, 0x7f, 9, 1, 0xf7) }],
      (at) => [{ kind: 'sysex', tick: at, lead: 0xf0, data: Uint8Array.of(0x7d, 1, 2) }],
      (at) => [{ kind: 'sysex', tick: at, lead: 0xf7, data: Uint8Array.of(3, 0xf7) }],
    ),
  )
  .map(([at, make]) => make(at));

const track: fc.Arbitrary<Track> = fc
  .tuple(
    fc.array(fc.oneof({ weight: 5, arbitrary: note }, { weight: 2, arbitrary: control }, other), {
      maxLength: 25,
    }),
    fc.integer({ min: 0, max: 500 }),
  )
  .map(([groups, wait]): Track => {
    // Stable: a note of no length keeps its beginning before its end.
    const events = groups.flat().sort((a, b) => a.tick - b.tick);
    const end = (events[events.length - 1]?.tick ?? 0) + wait;
    return { kind: 'track', events: [...events, meta(end, 0x2f, [])] };
  });

/** Small files of music, one to four tracks, as programs write them and a little worse. */
export const musicalFile: fc.Arbitrary<MidiFile> = fc
  .tuple(fc.constantFrom(0 as const, 1 as const, 2 as const), fc.array(track, { minLength: 1, maxLength: 4 }))
  .map(([format, tracks]) => ({
    format,
    division: { kind: 'ppq', ticksPerQuarter: 96 },
    headerExtra: new Uint8Array(0),
    chunks: format === 0 ? tracks.slice(0, 1) : tracks,
    wrapper: 'none',
  }));

function channelEvent(at: number, status: number, data1: number, data2: number): TrackEvent {
  return { kind: 'channel', tick: at, status, data1, data2 };
}

function meta(at: number, type: number, data: number[]): TrackEvent {
  return { kind: 'meta', tick: at, type, data: Uint8Array.from(data) };
}
