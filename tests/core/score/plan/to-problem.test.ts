import { describe, expect, it } from 'vitest';
import { toPartsByTrack } from '../../../../src/core/score/index.js';
import { rehearse } from '../../../../src/core/score/plan/rehearse.js';
import { toLivePath, toProblem } from '../../../../src/core/score/plan/to-problem.js';
import { formatRatio } from '../../../../src/core/theory/index.js';
import { HELD, toSettings } from '../../../../src/core/tuner/index.js';
import { type SmallNote, toTracks } from '../../../support/planning.js';

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

describe('a piece as a question', () => {
  it('has a slot for each key class of each strike, octaves together', () => {
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

  it('hears what is tied as held, and what has ended as long ago as it was', () => {
    const { problem } = hear([C, E, G]);
    const [first, second, third] = problem.strikes;
    expect(first.context).toEqual([]);
    expect(second.context).toEqual([{ slot: 0, keyClass: 0, ageSeconds: 0, binding: HELD }]);
    expect(third.context).toEqual([
      { slot: 1, keyClass: 4, ageSeconds: 2, binding: 0 },
      { slot: 0, keyClass: 0, ageSeconds: 2, binding: 0 },
    ]);
  });

  it('does not take for held what a finger is about to let go', () => {
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

  it('hears what counts most first, and of one key class what sounds before what has ended', () => {
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

  it('knows where a key class was last, and how long ago', () => {
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

  it('does not hear a finger of the old chord that lifts late, in the strike it overlaps', () => {
    const { problem } = hear([C, { onMs: 1980, offMs: 3000, key: 65 }]);
    expect(problem.notes[0].until).toBe(1);
    expect(problem.strikes[1].context).toEqual([{ slot: 0, keyClass: 0, ageSeconds: 0, binding: 0 }]);
  });

  it('ends with all that sounds at the last strike, from the lowest key up', () => {
    const { problem } = hear([C, E, { onMs: 1000, offMs: 2000, key: 48 }]);
    expect(problem.ending.map((slot) => problem.slots[slot].keyClass)).toEqual([0, 0, 4]);
    expect(problem.firstSlots.filter((slot) => slot >= 0)).toEqual([0, 2]);
  });

  it('of no notes is empty', () => {
    const { problem } = hear([]);
    expect(problem).toMatchObject({ strikes: [], slots: [], notes: [], ending: [] });
  });

  it('has the answer of the live rule', () => {
    const { rehearsal, problem } = hear([C, { ...C, key: 64 }, { ...C, key: 67 }]);
    const path = toLivePath(rehearsal, problem);
    expect(path.map((point) => formatRatio([0, point[1], point[2], 0, 0, 0]))).toEqual(['1/1', '5/1', '3/1']);
  });
});
