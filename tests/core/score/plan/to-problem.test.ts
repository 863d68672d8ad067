import { describe, expect, test } from 'vitest';
import { DEFAULT_PLAN, planWhole, toPartsByTrack } from '../../../../src/core/score/index.js';
import { type RehearsedNote, rehearse } from '../../../../src/core/score/plan/rehearse.js';
import { toHeldUntil, toLivePath, toProblem } from '../../../../src/core/score/plan/to-problem.js';
import { formatRatio } from '../../../../src/core/theory/index.js';
import { HELD, toSettings } from '../../../../src/core/tuner/index.js';
import { type SmallNote, toChords, toTracks } from '../../../support/planning.js';

function hear(notes: readonly SmallNote[]) {
  const tracks = toTracks(notes);
  const rehearsal = rehearse(
    tracks,
    toPartsByTrack(tracks),
    (tick) => tick,
    toSettings({ strategy: 'free' }),
  );
  return { rehearsal, problem: toProblem(rehearsal) };
}

const C = { onMs: 0, offMs: 2000, key: 60 };
const E = { onMs: 1000, offMs: 2000, key: 64 };
const G = { onMs: 4000, offMs: 5000, key: 67 };

describe('a piece as a planning problem', () => {
  test('has a slot for each key class of each strike, octaves together', () => {
    const { problem } = hear([C, { ...C, key: 72 }, { ...C, onMs: 10, key: 67 }, E]);
    expect(problem.slots).toEqual([
      { keyClass: 0, strike: 0, fifths: 0, count: 2 },
      { keyClass: 7, strike: 0, fifths: 1, count: 1 },
      { keyClass: 4, strike: 1, fifths: 4, count: 1 },
    ]);
    expect(problem.strikes.map(({ atMs, first, end }) => [atMs, first, end])).toEqual([
      [0, 0, 2],
      [1000, 2, 3],
    ]);
  });

  test('has tied notes as held, and ended notes with their age', () => {
    const { problem } = hear([C, E, G]);
    const [first, second, third] = problem.strikes;
    expect(first.context).toEqual([]);
    expect(second.context).toEqual([{ slot: 0, keyClass: 0, ageSeconds: 0, binding: HELD }]);
    expect(third.context).toEqual([
      { slot: 1, keyClass: 4, ageSeconds: 2, binding: 0 },
      { slot: 0, keyClass: 0, ageSeconds: 2, binding: 0 },
    ]);
  });

  test('does not take a note as held that is about to be released', () => {
    const heardAs = (offMs: number) =>
      hear([
        { ...C, offMs },
        { ...E, offMs: 4000 },
      ]).problem.strikes[1].context;
    // So little that it only decides between places that are equal otherwise.
    expect(heardAs(1100)[0].binding).toBeLessThan(1e-6);
    expect(heardAs(1150)[0].binding).toBeLessThan(1e-6);
    expect(heardAs(1200)[0].binding).toBe(HELD);
  });

  test('lists what counts most first, and of one key class sounding notes before ended ones', () => {
    const { problem } = hear([
      { onMs: 0, offMs: 3000, key: 55 },
      { onMs: 0, offMs: 500, key: 62 },
      { onMs: 1000, offMs: 2050, key: 60 },
      { onMs: 1000, offMs: 1900, key: 67 },
      { onMs: 2000, offMs: 3000, key: 64 },
    ]);
    const heard = problem.strikes[2].context.map(({ keyClass, binding }) => [keyClass, binding]);
    expect(heard).toEqual([
      [7, HELD],
      [0, expect.closeTo(0, 6)],
      [2, 0],
    ]);
  });

  test('knows where a key class was last, and how long ago', () => {
    const { problem } = hear([
      C,
      { ...C, onMs: 3500, offMs: 4000 },
      { ...C, onMs: 3700, offMs: 4000, key: 72 },
    ]);
    expect(problem.strikes.map(({ last }) => last)).toEqual([
      [undefined],
      [{ slot: 0, ageSeconds: 1.5 }],
      [{ slot: 1, ageSeconds: 0 }],
    ]);
  });

  test('leaves out a note of the old chord that is lifted late, in the strike it overlaps', () => {
    const { problem } = hear([C, { onMs: 1980, offMs: 3000, key: 65 }]);
    expect(problem.notes[0].until).toBe(1);
    expect(problem.strikes[1].context).toEqual([{ slot: 0, keyClass: 0, ageSeconds: 0, binding: 0 }]);
  });

  test('ends with all that sounds at the last strike, from the lowest key up', () => {
    const { problem } = hear([C, E, { onMs: 1000, offMs: 2000, key: 48 }]);
    expect(problem.ending.map((slot) => problem.slots[slot].keyClass)).toEqual([0, 0, 4]);
    expect(problem.firstSlots.filter((slot) => slot >= 0)).toEqual([0, 2]);
  });

  test('of no notes is empty', () => {
    const { problem } = hear([]);
    expect(problem).toMatchObject({ strikes: [], slots: [], notes: [], ending: [] });
  });

  test('has the answer of the live rule', () => {
    const { rehearsal, problem } = hear([C, { ...C, key: 64 }, { ...C, key: 67 }]);
    const path = toLivePath(rehearsal, problem);
    expect(path.map((point) => formatRatio([0, point[1], point[2], 0, 0, 0]))).toEqual(['1/1', '5/1', '3/1']);
  });
});

/** A note that lasts so long, struck so long before a second strike, whose notes last half a second. */
function toUntil(beforeMs: number, lengthMs: number): number {
  const [struckMs, endedMs] = [1000 - beforeMs, 1000 - beforeMs + lengthMs];
  const note = { note: { struckMs, releasedMs: endedMs }, strike: 0, endedMs, until: 2 } as RehearsedNote;
  return toHeldUntil(note, { strikesMs: [struckMs, 1000] }, Float64Array.of(lengthMs, 500));
}

describe('the first strike to which a note is not held', () => {
  test.each<[string, number, number, number]>([
    ['is late to end', 1000, 1140, 1],
    ['is tied', 1000, 1500, 2],
    ['is a short one of a line of its own', 100, 150, 2],
  ])('of a note that %s', (_, beforeMs, lengthMs, until) => expect(toUntil(beforeMs, lengthMs)).toBe(until));

  test('of a note that sounds as long as the new ones is the next strike', () => {
    const note = {
      note: { struckMs: 0, releasedMs: 1090 },
      strike: 0,
      endedMs: 1090,
      until: 2,
    } as RehearsedNote;
    expect(toHeldUntil(note, { strikesMs: [0, 1000] }, Float64Array.of(1090, 100))).toBe(2);
  });
});

describe('a plan of what is played legato', () => {
  const chords = toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4', 'C4 F4 A4'], false);
  const late = chords.map((note, i) => ({ ...note, offMs: note.offMs + 40 + ((7 * i) % 41) }));
  // A key comes up before it is struck again.
  const legato = late.map((note) => {
    const next = late.find(({ key, onMs }) => key === note.key && onMs > note.onMs)?.onMs ?? Infinity;
    return { ...note, offMs: Math.min(note.offMs, next - 15) };
  });
  const plan = (notes: readonly SmallNote[], strategy: 'free' | 'anchored') => {
    const tracks = toTracks(notes);
    const settings = toSettings({ strategy });
    return planWhole(tracks, toPartsByTrack(tracks), (tick) => tick, settings, DEFAULT_PLAN).guide;
  };

  test.each(['free', 'anchored'] as const)(
    'has every note where it would be if keys were released in time: %s',
    (strategy) => {
      const [clean, played] = [plan(chords, strategy), plan(legato, strategy)];
      for (const id of chords.keys()) {
        // Octaves left out.
        expect(played.frameOf(id)?.slice(1)).toEqual(clean.frameOf(id)?.slice(1));
        const [a, b] = [played.offsetOf(id, 0), clean.offsetOf(id, 0)];
        if (b === undefined) expect(a).toBe(b);
        else expect(a).toBeCloseTo(b, 0);
      }
    },
  );

  test('knows the notes that are about to end', () => {
    const guide = plan(legato, 'anchored');
    for (const id of [0, 1, 2]) expect(guide.isLeaving(id, 3)).toBe(true);
    const tied = plan(toChords(['C4 E4 G4', 'C4 F4 A4']), 'anchored');
    expect([0, 1, 2].map((id) => tied.isLeaving(id, 3))).toEqual([false, true, true]);
  });
});
