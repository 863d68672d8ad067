import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { META, type MidiFile, type TrackEvent, toTempoMap } from '../../../src/core/midi/index.js';
import { lastWhere } from '../../../src/core/midi/tempo-map.js';
import { fileOf } from '../../support/midi-bytes.js';
import { numbers } from '../../support/numbers.js';
import { forAll } from '../../support/properties.js';

function tempo(tick: number, us: number): TrackEvent {
  return { kind: 'meta', tick, type: META.tempo, data: Uint8Array.of(us >> 16, (us >> 8) & 255, us & 255) };
}

function smpte(framesPerSecond: 24 | 25 | 29 | 30, ticksPerFrame: number): MidiFile {
  return { ...fileOf([tempo(0, 250_000)]), division: { kind: 'smpte', framesPerSecond, ticksPerFrame } };
}

describe('ticks to milliseconds and back', () => {
  const map = toTempoMap(fileOf([tempo(96, 1_000_000), tempo(192, 250_000)]));

  test.each(numbers('0 0, 48 250, 96 500, 144 1000, 192 1500, 288 1750, 960 3500'))(
    'tick %i is %f ms',
    (tick, ms) => {
      expect(map.toMs(tick)).toBe(ms);
      expect(map.toTick(ms)).toBe(tick);
    },
  );

  test('take times between ticks to the nearer one, times before the start to 0', () => {
    expect(map.toTick(250 + 2.6)).toBe(48);
    expect(map.toTick(250 + 2.7)).toBe(49);
    expect(map.toTick(-5)).toBe(0);
  });
});

describe('the tempo events that count', () => {
  test('are those of all tracks of formats 0 and 1, the last of a tick', () => {
    const map = toTempoMap(
      fileOf([tempo(96, 1_000_000), tempo(96, 500_000)], [tempo(0, 250_000), tempo(96, 750_000)]),
    );
    expect([map.toMs(96), map.toMs(192)]).toEqual([250, 1000]);
  });

  test('are those of one track in a format 2 file', () => {
    const file: MidiFile = { ...fileOf([tempo(0, 250_000)], [tempo(0, 750_000)], []), format: 2 };
    expect([0, 1, 2].map((index) => toTempoMap(file, index).toMs(96))).toEqual([250, 750, 500]);
  });

  test('are not those too short or of no length, and bytes beyond the third do not matter', () => {
    const short: TrackEvent = { kind: 'meta', tick: 0, type: META.tempo, data: Uint8Array.of(7, 0xa1) };
    expect(toTempoMap(fileOf([short, tempo(0, 0)])).toMs(96)).toBe(500);
    const long: TrackEvent = {
      kind: 'meta',
      tick: 0,
      type: META.tempo,
      data: Uint8Array.of(3, 0xd0, 0x90, 9),
    };
    expect(toTempoMap(fileOf([long])).toMs(96)).toBe(250);
  });
});

test.each([
  [24, 10, 240, 1000],
  [25, 40, 12345, 12345],
  [30, 80, 2400, 1000],
  [29, 100, 30000, 10010], // 29.97: 300 frames are 10.01 s
] as const)(
  'an SMPTE division of %i frames of %i ticks is time: tick %i is %f ms',
  (frames, ticks, tick, ms) => {
    const map = toTempoMap(smpte(frames, ticks));
    expect(map.toMs(tick)).toBeCloseTo(ms, 9);
    expect(map.toTick(ms)).toBe(tick);
  },
);

test('a thousand changes of tempo leave no rounding behind', () => {
  const changes = Array.from({ length: 1000 }, (_, i) => tempo(i * 7, 333_333));
  expect(toTempoMap(fileOf(changes)).toMs(96 * 1000)).toBe(333_333);
});

test('property: time never runs back, and every tick comes back from its time', () => {
  const changes = fc.array(fc.tuple(fc.nat(100_000), fc.integer({ min: 1, max: 0xffffff })), {
    maxLength: 12,
  });
  forAll([changes, fc.integer({ min: 1, max: 0x7fff }), fc.nat(200_000)], (pairs, ticksPerQuarter, tick) => {
    pairs.sort(([a], [b]) => a - b);
    const file = fileOf(pairs.map(([at, us]) => tempo(at, us)));
    const map = toTempoMap({ ...file, division: { kind: 'ppq', ticksPerQuarter } });
    expect(map.toMs(tick + 1)).toBeGreaterThan(map.toMs(tick));
    expect(map.toTick(map.toMs(tick))).toBe(tick);
  });
});

test('property: a tempo map gives what adding up every tempo event gives', () => {
  const sorted = fc
    .array(fc.integer({ min: 0, max: 50 }), { minLength: 1 })
    .map((items) => items.sort((a, b) => a - b));
  forAll([sorted, fc.integer({ min: -1, max: 51 })], (items, most) => {
    const slowly = items.filter((item) => item <= most).at(-1) ?? items[0];
    expect(lastWhere(items, (item) => item <= most)).toBe(slowly);
  });
});
