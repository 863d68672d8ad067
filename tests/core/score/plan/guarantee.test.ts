import { describe, expect, test } from 'vitest';
import { DEFAULT_PLAN, planWhole, recountMoments, toPartsByTrack } from '../../../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../../../src/core/tuner/index.js';
import { type SmallNote, smallPieces, toTracks } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';
import {
  canBePure,
  canBeSpelled,
  type Impurity,
  isLess,
  isPure,
  listMisspelled,
  type PlacedNote,
  toImpurity,
  toLeastImpurity,
  toSpelled,
} from '../../../support/pure-placement.js';

/** What is struck at each strike of a planned piece, and what sounds already. */
function plan(
  notes: readonly SmallNote[],
  strategy: Strategy,
): { held: PlacedNote[]; struck: PlacedNote[] }[] {
  const tracks = toTracks(notes);
  const parts = toPartsByTrack(tracks);
  const settings = toSettings({ strategy });
  const { guide } = planWhole(tracks, parts, (tick) => tick, settings, DEFAULT_PLAN);
  const { moments } = recountMoments(tracks, parts, (tick) => tick, settings, guide);
  return moments.map((moment) => ({
    held: moment.notes.filter(({ presence }) => presence !== 'struck'),
    struck: moment.notes.filter(({ presence }) => presence === 'struck'),
  }));
}

/** Whether there is more to hear of octaves and fifths that aren't just. */
const isWorse = (one: Impurity, other: Impurity) => isLess({ ...other, thirds: 0 }, { ...one, thirds: 0 });
const toSpelledAll = (notes: readonly PlacedNote[]) => notes.map(toSpelled);

describe.each(['free', 'pull', 'anchored'] as const)('a plan under %s', (strategy) => {
  test('has every strike pure that can be pure beside what sounds', () => {
    forAll([smallPieces(14)], 300, (notes) => {
      for (const { held, struck } of plan(notes, strategy)) {
        if (canBePure(held, toSpelledAll(struck)))
          expect(toImpurity(held, struck)).toEqual({ octaves: 0, fifths: 0, thirds: 0 });
      }
    });
  });

  test('leaves no more octaves, fifths and fourths impure than a strike must', () => {
    forAll([smallPieces(14)], (notes) => {
      for (const { held, struck } of plan(notes, strategy)) {
        const least = toLeastImpurity(held, toSpelledAll(struck));
        if (!isPure(least)) expect(isWorse(toImpurity(held, struck), least)).toBe(false);
      }
    });
  });

  test('spells sounding octaves, fifths and fourths as such', () => {
    forAll([smallPieces(14)], (notes) => {
      for (const { held, struck } of plan(notes, strategy)) {
        const [fixed, free] = [toSpelledAll(held), toSpelledAll(struck)];
        const keys = struck.map(({ key }) => key);
        if (canBeSpelled(fixed, keys)) expect(listMisspelled(fixed, free)).toEqual([]);
      }
    });
  });
});
