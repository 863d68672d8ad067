import { expect, test } from 'vitest';
import { toPartsByTrack } from '../../../../src/core/score/index.js';
import { placeFirstChord } from '../../../../src/core/score/plan/chord-means.js';
import { rehearse } from '../../../../src/core/score/plan/rehearse.js';
import { toLivePath, toProblem } from '../../../../src/core/score/plan/to-problem.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { type SmallNote, toTracks } from '../../../support/planning.js';

const SETTINGS = toSettings({ strategy: 'free' });

function place(notes: readonly SmallNote[]): number {
  const tracks = toTracks(notes);
  const heard = rehearse(tracks, toPartsByTrack(tracks), (tick) => tick, SETTINGS);
  const problem = toProblem(heard);
  return placeFirstChord(problem, toLivePath(heard, problem), SETTINGS);
}

const later = { onMs: 900, offMs: 1500, key: 62 };
const chord = (...keys: number[]) => keys.map((key) => ({ onMs: 0, offMs: 1000, key }));

test('the first chord of a plan is at home as a whole, with each note counting', () => {
  // A major third is 13.686 cents narrow, a fifth 1.955 wide.
  expect(place([...chord(60, 64, 67), later])).toBeCloseTo((13.686 - 1.955) / 3, 3);
  expect(place([...chord(60, 64, 67, 72), later])).toBeCloseTo((13.686 - 1.955) / 4, 3);
});

test('the plan of a piece without notes begins at home', () => expect(place([])).toBe(0));
