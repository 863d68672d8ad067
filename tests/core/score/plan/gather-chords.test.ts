import { describe, expect, test } from 'vitest';
import { toPartsByTrack } from '../../../../src/core/score/index.js';
import { gatherChords } from '../../../../src/core/score/plan/gather-chords.js';
import { rehearse } from '../../../../src/core/score/plan/rehearse.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { numbers } from '../../../support/numbers.js';
import { type SmallNote, smallPieces, toTracks } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

function hear(notes: readonly SmallNote[]) {
  const tracks = toTracks(notes);
  return rehearse(tracks, toPartsByTrack(tracks), (tick) => tick, toSettings({}));
}

/** The keys of each chord, from the first on. */
function toChords(notes: readonly SmallNote[]): number[][] {
  const gathered = gatherChords(hear(notes));
  return gathered.strikesMs.map((_, chord) =>
    gathered.notes.filter(({ strike }) => strike === chord).map(({ note }) => note.key),
  );
}

/** Keys struck so far apart, each held so long after the next; the last as long as the one before. */
function run(keys: readonly number[], apartMs: number, lengthMs: number): SmallNote[] {
  return keys.map((key, i) => ({ onMs: i * apartMs, offMs: i * apartMs + lengthMs, key }));
}

describe('strikes taken together as chords', () => {
  test.each<[string, number, number]>([
    ['spread beyond a strike window', 34, 800],
    ['rolled and held', 50, 500],
  ])('put a chord %s together', (_, apartMs, lengthMs) => {
    const chord = run([48, 55, 64], apartMs, lengthMs);
    const next = run([50, 57, 65], apartMs, lengthMs).map((note) => ({
      ...note,
      onMs: note.onMs + 1000,
      offMs: note.offMs + 1000,
    }));
    expect(hear([...chord, ...next]).strikesMs.length).toBeGreaterThan(2);
    expect(toChords([...chord, ...next])).toEqual([
      [48, 55, 64],
      [50, 57, 65],
    ]);
  });

  test.each<[string, SmallNote[]]>([
    ['a quick run, its notes let go late', run([60, 62, 64, 65], 55, 55 + 80)],
    ['a run with its keys held', run([60, 62, 64, 65], 100, 1000)],
    ['short notes', run([60, 62, 64], 40, 60)],
    ['a grace note and its note', [...run([62], 0, 60), { onMs: 50, offMs: 800, key: 60 }]],
  ])('leave each note by itself: %s', (_, notes) =>
    expect(toChords(notes)).toEqual(notes.map(({ key }) => [key])),
  );

  test('gathered chords span no more than 150 ms', () => {
    expect(toChords(run([40, 44, 48, 52, 56], 50, 2000))).toEqual([[40, 44, 48, 52], [56]]);
  });

  test('a chord ignores what falls silent while it is struck, and counts its notes until the next chord', () => {
    const old = { onMs: 0, offMs: 1060, key: 60 };
    const chord = run([50, 57, 65], 40, 700).map(({ onMs, offMs, key }) => ({
      onMs: onMs + 1000,
      offMs: offMs + 1000,
      key,
    }));
    const last = { onMs: 3000, offMs: 4000, key: 62 };
    const { notes, byEnd, strikesMs } = gatherChords(hear([old, ...chord, last]));
    expect(strikesMs).toEqual([0, 1000, 3000]);
    expect(notes.map(({ note, strike, until }) => [note.key, strike, until])).toEqual(
      numbers('60 0 1, 50 1 2, 57 1 2, 65 1 2, 62 2 3'),
    );
    expect(byEnd.map(({ note }) => note.key)).toEqual([60, 50, 57, 65, 62]);
  });

  test('gathering chords leaves pieces of plain strikes as they are', () => {
    forAll([smallPieces(10)], (notes) => {
      const heard = hear(notes);
      expect(gatherChords(heard)).toEqual(heard);
    });
    expect(gatherChords(hear([]))).toEqual({ notes: [], byEnd: [], strikesMs: [] });
  });
});
