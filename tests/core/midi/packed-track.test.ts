import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatMidiFile, META, PackedTrack, type TrackEvent } from '../../../src/core/midi/index.js';
import { forAll } from '../../support/properties.js';

const wait = fc.oneof(fc.nat(500), fc.constantFrom(0, 2 ** 28, 2 ** 33));
const body: fc.Arbitrary<TrackEvent> = fc.oneof(
  fc.tuple(fc.integer({ min: 0x80, max: 0xef }), fc.nat(127), fc.nat(127)).map(
    ([status, data1, data2]): TrackEvent => ({
      kind: 'channel',
      tick: 0,
      status,
      data1,
      data2: (status & 0xe0) === 0xc0 ? 0 : data2,
    }),
  ),
  fc
    .uint8Array({ maxLength: 5 })
    .map((data): TrackEvent => ({ kind: 'meta', tick: 0, type: META.text, data })),
  fc
    .tuple(fc.constantFrom(0xf0 as const, 0xf7 as const), fc.uint8Array({ maxLength: 200 }))
    .map(([lead, data]): TrackEvent => ({ kind: 'sysex', tick: 0, lead, data })),
  fc.constant<TrackEvent>({ kind: 'meta', tick: 7, type: META.endOfTrack, data: new Uint8Array(0) }),
);
const events = fc.array(fc.tuple(wait, body), { maxLength: 600, size: 'max' }).map((list) => {
  let tick = 0;
  return list.map(([ms, event]): TrackEvent => {
    tick += ms;
    return { ...event, tick };
  });
});

function pack(list: readonly TrackEvent[]): PackedTrack {
  const track = new PackedTrack();
  for (const event of list) track.push(event);
  return track;
}

const toFile = (track: { kind: 'track'; events: TrackEvent[] }) => ({
  format: 0 as const,
  division: { kind: 'ppq' as const, ticksPerQuarter: 480 },
  headerExtra: new Uint8Array(0),
  chunks: [track],
  wrapper: 'none' as const,
});

describe('a packed track', () => {
  test('gives back the events that it was given', () => {
    forAll([events], 60, (list) => {
      const track = pack(list);
      expect(track.events).toEqual(list);
      expect(track.lastTick).toBe(list.at(-1)?.tick ?? 0);
    });
  });

  test('is written to the same bytes as a track of objects', () => {
    forAll([events], 60, (list) => {
      const plain = formatMidiFile(toFile({ kind: 'track', events: list }));
      expect(Buffer.from(formatMidiFile(toFile(pack(list)))).equals(Buffer.from(plain))).toBe(true);
    });
  });

  test('shows events that are added after it was read', () => {
    const track = pack([]);
    expect(track.events).toEqual([]);
    track.channel(3, 0x90, 60, 64);
    expect(track.events).toEqual([{ kind: 'channel', tick: 3, status: 0x90, data1: 60, data2: 64 }]);
  });
});

test.each([
  ['a status that is none', [0, 0x70, 60, 64]],
  ['a system message', [0, 0xf8, 0, 0]],
  ['a first data byte above 127', [0, 0x90, 128, 64]],
  ['a second data byte above 127', [0, 0x90, 60, 200]],
  ['a tick between two', [0.5, 0x90, 60, 64]],
  ['a tick before the last', [-1, 0x90, 60, 64]],
] as const)('a packed track stores %s for the writer to refuse', (_name, [tick, status, data1, data2]) => {
  const track = new PackedTrack();
  track.channel(tick, status, data1, data2);
  expect(track.events).toEqual([{ kind: 'channel', tick, status, data1, data2 }]);
  expect(() => formatMidiFile(toFile(track))).toThrow(RangeError);
});

test('a packed track ends at 0 while it is empty', () => expect(new PackedTrack().lastTick).toBe(0));
