import { expect, test } from 'vitest';
import { toSteps } from '../../../src/page/state/steps.js';
import { keysOf } from '../../support/play.js';
import { Trio } from '../../support/trio.js';

test('a pass of a tied pump has one step, at the chord that makes it, with a sentence', () => {
  const trio = new Trio();
  const chords = ['C3 G4 E5 C5', 'A3 E4 C5 A4', 'D3 F4 D5 A4', 'G3 D5 B4 G4', 'C3 G4 E5 C5'].map(keysOf);
  const entries = chords.flatMap((keys) => trio.chord(keys).frame().entries);
  const log = { seconds: [0, 2.5], free: [0, -21.5], pull: [0, 0], anchored: [0, -3], temper: [0, -1] };
  expect(toSteps(entries, 'free', log)).toEqual([
    {
      seconds: 1.5,
      cents: 0,
      sentence: 'G came back a comma low: it was tied to D. That moved the drift by −21.5 cents.',
    },
  ]);
  expect(toSteps(entries, 'equal', log)).toEqual([]);
});
