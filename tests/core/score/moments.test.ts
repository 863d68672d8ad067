import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Track, TrackEvent } from '../../../src/core/midi/index.js';
import { type RecountedPiece, recountMoments, toPartsByTrack } from '../../../src/core/score/index.js';
import { equal, formatRatio } from '../../../src/core/theory/index.js';
import { type TunerSettings, toSettings } from '../../../src/core/tuner/index.js';
import { keysOf } from '../../support/play.js';
import { forAll } from '../../support/properties.js';

/** Tells chords of two seconds, a tick a millisecond; keys two neighbours share are tied. */
function tell(
  chords: readonly string[],
  changes: Partial<TunerSettings> = {},
  spreadTicks = 0,
): RecountedPiece {
  const events: TrackEvent[] = [];
  let down: number[] = [];
  chords.forEach((names, i) => {
    const keys = keysOf(names);
    const tick = 2000 * i;
    for (const key of down) if (!keys.includes(key)) events.push(message(tick, 0x80, key));
    const fresh = keys.filter((key) => !down.includes(key));
    fresh.forEach((key, at) => {
      events.push(message(tick + at * spreadTicks, 0x90, key));
    });
    down = keys;
  });
  const tracks: Track[] = [{ kind: 'track', events }];
  return recountMoments(tracks, toPartsByTrack(tracks), (tick) => tick, toSettings(changes), 'live');
}

function message(tick: number, status: number, data1: number): TrackEvent {
  return { kind: 'channel', tick, status, data1, data2: 64 };
}

describe('moments', () => {
  test('are one for each strike, with its notes from the lowest up, struck or held', () => {
    const { moments } = tell(['G4 C4 E4', 'E4 C4 A4']);
    expect(
      moments.map(({ tick, notes }) => [tick, notes.map(({ key, presence }) => `${presence} ${key}`)]),
    ).toEqual([
      [0, ['struck 60', 'struck 64', 'struck 67']],
      [2000, ['held 60', 'held 64', 'struck 69']],
    ]);
  });

  test('have ratios from the lowest note', () => {
    const { moments } = tell(['C4 E4 G4', 'C4 E4 A4'], { strategy: 'free' });
    expect(moments.map(({ notes }) => notes.map(({ fromBass }) => formatRatio(fromBass)))).toEqual([
      ['1/1', '5/4', '3/2'],
      ['1/1', '5/4', '5/3'],
    ]);
  });

  test('are one for all notes within a strike window, at the last of them, as finally decided', () => {
    forAll([fc.shuffledSubarray(['C4', 'E4', 'G4'], { minLength: 3 })], (order) => {
      const { moments } = tell([order.join(' ')], {}, 10);
      expect(moments.map(({ tick }) => tick)).toEqual([20]);
      expect(moments[0].notes.map(({ fromBass }) => formatRatio(fromBass))).toEqual(['1/1', '5/4', '3/2']);
    });
    expect(tell(['C4 E4 G4'], {}, 46).moments.length).toBe(3);
  });

  test('have the exact drift, and every return once', () => {
    // Common practice: I-vi-ii-V-I with every common tone tied falls by a syntonic comma.
    const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5', 'C3 E4 G4 C5'];
    const { moments, closing } = tell(pump, { strategy: 'free' });
    expect(formatRatio(moments[0].drift.commas)).toBe('1/1');
    expect(formatRatio(moments[4].drift.commas)).toBe('80/81');
    const told = [...moments.flatMap(({ entries }) => entries), ...closing];
    const returns = told.filter(({ kind }) => kind === 'return');
    expect(returns.length).toBeGreaterThanOrEqual(3);
    for (const entry of returns) expect(entry.kind === 'return' && formatRatio(entry.ratio)).toBe('80/81');
  });

  test('are 0 cents from home for a chord at home, with notes at their ratios', () => {
    const { moments } = tell(['C4 E4 G4'], { strategy: 'anchored', leewayCents: 0 });
    const [{ fromHomeCents, notes }] = moments;
    expect(fromHomeCents).toBeCloseTo(0, 9);
    // 4:5:6 against 12 equal: -13.686 and +1.955 from the root.
    expect(notes[1].deviationCents - notes[0].deviationCents).toBeCloseTo(-13.686, 3);
    expect(notes[2].deviationCents - notes[0].deviationCents).toBeCloseTo(1.955, 3);
  });

  test('mark a note that only the pedal holds as pedalled', () => {
    const events = [
      message(0, 0x90, 60),
      { ...message(100, 0xb0, 64), data2: 127 },
      message(200, 0x80, 60),
      message(500, 0x90, 67),
    ] as TrackEvent[];
    const tracks: Track[] = [{ kind: 'track', events }];
    const { moments } = recountMoments(
      tracks,
      toPartsByTrack(tracks),
      (tick) => tick,
      toSettings({}),
      'live',
    );
    expect(moments[1].notes.map(({ presence }) => presence)).toEqual(['pedalled', 'struck']);
    expect(equal(moments[1].notes[0].point, moments[0].notes[0].point)).toBe(true);
  });

  test('show a held note that stays at its pitch, and one that follows at the end of its glide', () => {
    const chords = ['C4 E4 G4', 'C4 F4 A4'];
    const at = (held: 'stay' | 'follow') =>
      tell(chords, { strategy: 'anchored', leewayCents: 0, held }).moments.map(
        ({ notes }) => notes[0].deviationCents,
      );
    // C is 3.9 c above 12 equal as the root, and would be 5.9 c as the fifth of F A C.
    expect(at('stay')[1]).toBeCloseTo(at('stay')[0], 9);
    expect(at('follow')[1] - at('follow')[0]).toBeCloseTo(1.955, 2);
  });

  test('are none in silence', () => {
    const tracks: Track[] = [{ kind: 'track', events: [message(0, 0x80, 60)] }];
    expect(
      recountMoments(tracks, toPartsByTrack(tracks), (tick) => tick, toSettings({}), 'live').moments,
    ).toEqual([]);
  });
});
