import { describe, expect, test } from 'vitest';
import { followReturns } from '../../../../src/core/score/plan/plan-offset.js';
import { multiply, ratio, toDeviationCents } from '../../../../src/core/theory/index.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, toChords } from '../../../support/planning.js';

const SETTINGS = toSettings({ strategy: 'pull' });
const COMMA = ratio('81/80');
const COMMA_CENTS = toDeviationCents(COMMA);

/** What the offset does at the second of two chords, from which on all stands a comma higher. */
function follow(chords: readonly string[], tied: boolean) {
  const { problem, live } = pose(toChords(chords, tied), SETTINGS);
  const path = live.map((point, slot) => (problem.slots[slot].strike === 0 ? point : multiply(point, COMMA)));
  return followReturns(problem, path, SETTINGS, Float64Array.of(0, COMMA_CENTS));
}

describe('the offset at a return under pull', () => {
  // A fifth, a comma up: nearly a cent more than a comma away from home.
  const bodyCents = COMMA_CENTS + 0.9775;

  test('makes up for the whole return, where the music was at home', () => {
    expect(follow(['C4 G4', 'C4 G4'], false)(1, 0)).toBeCloseTo(-COMMA_CENTS, 9);
  });

  test('makes up for nothing of the return, where the music was a comma or more away on the other side', () => {
    expect(follow(['C4 G4', 'C4 G4'], false)(1, -30)).toBeCloseTo(-30, 9);
  });

  test('makes up for what would lead beyond home, where the music was less than a comma away', () => {
    const offsetCents = follow(['C4 G4', 'C4 G4'], false)(1, -10)!;
    expect(bodyCents + offsetCents).toBeCloseTo(0, 3);
  });

  test('leaves everything to the pull where a note is held, and where there is no return', () => {
    expect(follow(['C4 G4', 'C4 A4'], true)(1, 0)).toBeUndefined();
    expect(follow(['C4 G4', 'C4 G4'], false)(0, 5)).toBeUndefined();
  });
});
