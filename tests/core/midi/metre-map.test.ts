import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { META, type MidiFile, type TrackEvent, toMetreMap } from '../../../src/core/midi/index.js';
import { fileOf } from '../../support/midi-bytes.js';
import { forAll } from '../../support/properties.js';

function signature(tick: number, numerator: number, denominatorPower: number): TrackEvent {
  const data = Uint8Array.of(numerator, denominatorPower, 24, 8);
  return { kind: 'meta', tick, type: META.timeSignature, data };
}

function positions(file: MidiFile, ...ticks: number[]): string[] {
  const map = toMetreMap(file);
  return ticks.map((tick) => {
    const { bar, beat, ticksIntoBeat } = map.toPosition(tick);
    return `${bar}.${beat}+${ticksIntoBeat}`;
  });
}

describe('the bars and beats of a metre map', () => {
  test('are 4/4 without a time signature', () => {
    expect(positions(fileOf([]), 0, 95, 96, 383, 384, 480)).toEqual(
      '1.1+0 1.1+95 1.2+0 1.4+95 2.1+0 2.2+0'.split(' '),
    );
  });

  test('have an eighth as the beat of 6/8', () => {
    expect(positions(fileOf([signature(0, 6, 3)]), 47, 48, 287, 288)).toEqual(
      '1.1+47 1.2+0 1.6+47 2.1+0'.split(' '),
    );
  });

  test('count on at a change on a bar line', () => {
    expect(positions(fileOf([signature(768, 3, 2)]), 767, 768, 1055, 1056)).toEqual(
      '2.4+95 3.1+0 3.3+95 4.1+0'.split(' '),
    );
  });

  test('start a new bar at a change in mid-bar, as after a pick-up of one quarter', () => {
    expect(positions(fileOf([signature(96, 3, 2)]), 95, 96, 384)).toEqual(['1.1+95', '2.1+0', '3.1+0']);
  });

  test('may have beats shorter than a tick', () => {
    const file: MidiFile = {
      ...fileOf([signature(0, 3, 4)]),
      division: { kind: 'ppq', ticksPerQuarter: 10 },
    };
    expect(positions(file, 2, 3, 7, 8)).toEqual(['1.1+2', '1.2+0.5', '1.3+2', '2.1+0.5']);
    expect(toMetreMap(file).toTick(2)).toBe(8);
  });
});

describe('the time signatures that count', () => {
  test('are those of all tracks, and the last of a tick', () => {
    expect(positions(fileOf([signature(0, 3, 2)], [signature(0, 2, 2)]), 192)).toEqual(['2.1+0']);
  });

  test('are those of one track in a format 2 file', () => {
    const file: MidiFile = { ...fileOf([signature(0, 3, 2)], [signature(0, 2, 2)]), format: 2 };
    expect([0, 1, 2].map((index) => toMetreMap(file, index).toTick(2))).toEqual([288, 192, 384]);
  });

  test('are not those that are too short, without beats or with a beat of no length', () => {
    const short: TrackEvent = { kind: 'meta', tick: 0, type: META.timeSignature, data: Uint8Array.of(3) };
    expect(toMetreMap(fileOf([short, signature(0, 0, 2), signature(0, 3, 255)])).toTick(2)).toBe(384);
  });
});

test('a quarter note lasts half a second with an SMPTE division', () => {
  const file: MidiFile = {
    ...fileOf([]),
    division: { kind: 'smpte', framesPerSecond: 25, ticksPerFrame: 40 },
  };
  expect(positions(file, 499, 500, 2000)).toEqual(['1.1+499', '1.2+0', '2.1+0']);
});

test('a bar has its first tick, also when it is cut short, and bars below 1 are the first', () => {
  const map = toMetreMap(fileOf([signature(96, 3, 2), signature(400, 2, 2)]));
  expect([-1, 0, 1, 2, 3, 4, 5].map((bar) => map.toTick(bar))).toEqual([0, 0, 0, 96, 384, 400, 592]);
});

test('property: a bar begins at its first tick and not one before', () => {
  const changes = fc.array(
    fc.tuple(fc.nat(5000), fc.integer({ min: 1, max: 12 }), fc.integer({ min: 0, max: 5 })),
    {
      maxLength: 6,
    },
  );
  forAll(
    [changes, fc.integer({ min: 1, max: 120 }).map((times) => times * 8), fc.integer({ min: 2, max: 60 })],
    (rows, ticksPerQuarter, bar) => {
      rows.sort(([a], [b]) => a - b);
      const file = fileOf(rows.map((row) => signature(...row)));
      const map = toMetreMap({ ...file, division: { kind: 'ppq', ticksPerQuarter } });
      const tick = map.toTick(bar);
      expect(map.toPosition(tick)).toMatchObject({ bar, beat: 1 });
      if (tick > 0) expect(map.toPosition(tick - 1).bar).toBeLessThan(bar);
    },
  );
});
