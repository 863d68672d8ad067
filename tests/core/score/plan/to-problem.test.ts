import { describe, expect, it } from 'vitest';
import { toPartsByTrack } from '../../../../src/core/score/index.js';
import { rehearse } from '../../../../src/core/score/plan/rehearse.js';
import { toLivePath, toProblem } from '../../../../src/core/score/plan/to-problem.js';
import { formatRatio } from '../../../../src/core/theory/index.js';
import { STOCK_WEIGHTS, toSettings } from '../../../../src/core/tuner/index.js';
import { type SmallNote, toTracks } from '../../../support/planning.js';

function hear(notes: readonly SmallNote[]) {
  const tracks = toTracks(notes);
  const rehearsal = rehearse(
    tracks,
    toPartsByTrack(tracks),
    (tick) => tick,
    toSettings({ strategy: 'free' }),
  );
  return { rehearsal, problem: toProblem(rehearsal, STOCK_WEIGHTS) };
}

const C = { onMs: 0, offMs: 2000, key: 60 };
const E = { onMs: 1000, offMs: 2000, key: 64 };
const G = { onMs: 4000, offMs: 5000, key: 67 };

describe('a piece as a question', () => {
  it('has a slot for each key class of each strike, octaves together', () => {
    const { problem } = hear([C, { ...C, key: 72 }, { ...C, onMs: 10, key: 67 }, E]);
    expect(problem.slots).toEqual([
      { keyClass: 0, strike: 0, count: 2 },
      { keyClass: 7, strike: 0, count: 1 },
      { keyClass: 4, strike: 1, count: 1 },
    ]);
    expect(problem.strikes.map(({ atMs, first, end }) => [atMs, first, end])).toEqual([
      [0, 0, 2],
      [1000, 2, 3],
    ]);
  });

  it('hears what is tied at its full weight, and what has ended as the tuner remembers it', () => {
    const { problem } = hear([C, E, G]);
    const { held, recall, recallSeconds } = STOCK_WEIGHTS;
    const [, second, third] = problem.strikes;
    // C and E overlap for a second; the three notes last 4/3 s in the mean.
    expect(second.context).toEqual([{ slot: 0, keyClass: 0 }]);
    expect(second.heardWeights[0]).toBeCloseTo(held * Math.sqrt(3 / 4), 9);
    expect(third.context.map(({ slot }) => slot)).toEqual([0, 1]);
    const faded = recall * Math.exp(-2 / recallSeconds) * Math.sqrt(3 / 4);
    for (const weight of third.heardWeights) expect(weight).toBeCloseTo(faded, 9);
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
    expect(problem.strikes[1].context).toEqual([{ slot: 0, keyClass: 0 }]);
    expect(problem.strikes[1].heardWeights[0]).toBeLessThan(STOCK_WEIGHTS.recall * 2);
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
