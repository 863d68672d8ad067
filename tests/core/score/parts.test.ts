import { describe, expect, test } from 'vitest';
import type { Track, TrackEvent } from '../../../src/core/midi/index.js';
import {
  type PartMap,
  type PartRole,
  TUNED,
  toPartsByChannel,
  toPartsByTrack,
} from '../../../src/core/score/index.js';

const NOTE = 0x90;
const VOLUME = 7;
const PAN = 10;

/** A track of messages `[status, data1, data2]`, all at tick 0. */
function track(...messages: [number, number, number][]): Track {
  const events = messages.map(
    ([status, data1, data2]): TrackEvent => ({ kind: 'channel', tick: 0, status, data1, data2 }),
  );
  return { kind: 'track', events };
}

describe('the parts of a piece by channel', () => {
  const tracks = [track([0xc3, 5, 0], [NOTE | 2, 60, 64]), track([NOTE | 9, 36, 64], [NOTE | 2, 64, 64])];
  const { parts, partOf, listenersOf } = toPartsByChannel(tracks);

  test('are one for each channel with anything but percussion, in order of appearance', () => {
    expect(parts).toEqual([
      { index: 0, track: -1, channel: 3, role: 'tuned' },
      { index: 1, track: -1, channel: 2, role: 'tuned' },
    ]);
  });

  test('are the same for notes and controllers of any track', () => {
    expect([partOf(0, 2), partOf(1, 2), partOf(1, 3)]).toEqual([1, 1, 0]);
    expect(partOf(1, 9)).toBeUndefined();
    expect(listenersOf(0, 2, 0xb2, VOLUME)).toEqual([1]);
    expect(listenersOf(1, 2, 0xb2, VOLUME)).toEqual([1]);
    expect(listenersOf(1, 9, 0xb9, VOLUME)).toEqual([]);
    expect(listenersOf(0, 5, 0xb5, VOLUME)).toEqual([]);
  });
});

describe('the parts of a piece by track', () => {
  test('are one for each channel of each track that plays notes', () => {
    const tracks = [
      track([0xb0, VOLUME, 90]),
      track([NOTE, 60, 64], [NOTE | 1, 64, 64], [NOTE, 67, 64]),
      track([NOTE, 48, 64], [NOTE | 9, 36, 64]),
      // A note-on of velocity 0 ends a note; nobody plays here.
      track([NOTE | 4, 60, 0]),
    ];
    const { parts, partOf, channelsIn } = toPartsByTrack(tracks);
    expect(parts).toEqual([
      { index: 0, track: 1, channel: 0, role: 'tuned' },
      { index: 1, track: 1, channel: 1, role: 'tuned' },
      { index: 2, track: 2, channel: 0, role: 'tuned' },
    ]);
    expect([partOf(1, 0), partOf(1, 1), partOf(2, 0)]).toEqual([0, 1, 2]);
    expect([partOf(0, 0), partOf(2, 9), partOf(3, 4)]).toEqual([undefined, undefined, undefined]);
    expect([0, 1, 2, 3].map(channelsIn)).toEqual([1, 1 | 2, 1 | (1 << 9), 1 << 4]);
  });

  test("get a controller of a conductor's track where they have none of that kind", () => {
    const tracks = [
      track([0xb0, VOLUME, 90], [0xc0, 19, 0]),
      track([NOTE, 60, 64]),
      track([0xb0, VOLUME, 70], [NOTE, 48, 64]),
      track([NOTE | 1, 60, 64]),
    ];
    const { listenersOf } = toPartsByTrack(tracks);
    // The second part sets its own volume, but has no program of its own.
    expect(listenersOf(0, 0, 0xb0, VOLUME)).toEqual([0]);
    expect(listenersOf(0, 0, 0xc0, 19)).toEqual([0, 1]);
    expect(listenersOf(2, 0, 0xb0, VOLUME)).toEqual([0, 1]);
    expect(listenersOf(0, 1, 0xb1, VOLUME)).toEqual([2]);
    expect(listenersOf(0, 5, 0xb5, VOLUME)).toEqual([]);
  });

  test('have controllers distinguished by number, other messages by type alone', () => {
    const tracks = [
      track([0xb0, PAN, 64], [0xe0, 0, 64], [0xd0, 9, 0]),
      track([0xb0, VOLUME, 1], [0xe0, 9, 9], [NOTE, 60, 64]),
    ];
    const { listenersOf } = toPartsByTrack(tracks);
    expect(listenersOf(0, 0, 0xb0, PAN)).toEqual([0]);
    expect(listenersOf(0, 0, 0xb0, VOLUME)).toEqual([]);
    // The part bends for itself.
    expect(listenersOf(0, 0, 0xe0, 0)).toEqual([]);
    expect(listenersOf(0, 0, 0xd0, 9)).toEqual([0]);
  });
});

describe('the parts of tracks with roles', () => {
  // A conductor's track, a soprano and an organ on one channel, a guide, and drums beside a bass.
  const tracks = [
    track([0xb0, VOLUME, 90], [0xc1, 19, 0], [0xc2, 5, 0]),
    track([NOTE, 72, 64]),
    track([NOTE, 48, 64], [0xb0, 64, 127]),
    track([NOTE | 1, 60, 64]),
    track([NOTE | 2, 40, 64], [NOTE | 9, 36, 64]),
  ];
  const fixedCents = new Array<number>(12).fill(3);
  const roles = [
    TUNED,
    TUNED,
    { role: 'fixed', fixedCents },
    { role: 'guide' },
    { role: 'untuned' },
  ] as const;
  const roleOf = (index: number, channel: number): PartRole =>
    channel === 9 ? { role: 'tuned' } : roles[index];
  const route = ({ partOf, listenersOf, passesOn }: PartMap, index: number, status: number, data1 = 0) => {
    const isNote = (status & 0xe0) === 0x80;
    const parts = isNote ? [partOf(index, status & 15)] : listenersOf(index, status & 15, status, data1);
    return [parts.filter((part) => part !== undefined).join(), passesOn(index, status & 15, status, data1)];
  };

  test('by track are none for what is untuned, which passes as it came', () => {
    const map = toPartsByTrack(tracks, roleOf);
    expect(map.parts).toEqual([
      { index: 0, track: 1, channel: 0, role: 'tuned' },
      { index: 1, track: 2, channel: 0, role: 'fixed', fixedCents },
      { index: 2, track: 3, channel: 1, role: 'guide' },
      { index: 3, track: 4, channel: 9, role: 'tuned' },
    ]);
    expect(route(map, 4, NOTE | 2)).toEqual(['', true]);
    expect(route(map, 4, 0xb2, VOLUME)).toEqual(['', true]);
    expect(route(map, 4, NOTE | 9)).toEqual(['3', false]);
  });

  test.each([
    ['by track', toPartsByTrack(tracks, roleOf)],
    ['by channel', toPartsByChannel(tracks, roleOf)],
  ])('%s keep apart who shares a channel, but for whom a track without notes speaks', (_, map) => {
    const roleIn = (part: unknown) => map.parts[Number(part)].role;
    expect(roleIn(map.partOf(1, 0))).toBe('tuned');
    expect(roleIn(map.partOf(2, 0))).toBe('fixed');
    // The notes of a fixed part pass, those of a guide don't.
    expect([map.passesOn(1, 0, NOTE, 72), map.passesOn(2, 0, NOTE, 48)]).toEqual([false, true]);
    expect(map.passesOn(3, 1, NOTE | 1, 60)).toBe(false);
    // The organ's pedal is its own, and passes.
    expect(route(map, 2, 0xb0, 64)).toEqual([String(map.partOf(2, 0)), true]);
    expect(route(map, 1, 0xb0, 64)).toEqual([String(map.partOf(1, 0)), false]);
    // What the conductor's track says on a channel is for all who play there.
    const both = [map.partOf(1, 0), map.partOf(2, 0)].sort().join();
    expect(route(map, 0, 0xb0, VOLUME)).toEqual([both, true]);
    expect(route(map, 0, 0xc1)).toEqual([String(map.partOf(3, 1)), true]);
    expect(route(map, 0, 0xc2)).toEqual(['', true]);
  });

  test('count no channel of a guide that has notes alone', () => {
    expect([1, 2, 3, 4].map(toPartsByTrack(tracks, roleOf).channelsIn)).toEqual([1, 1, 0, 4 | (1 << 9)]);
  });
});
