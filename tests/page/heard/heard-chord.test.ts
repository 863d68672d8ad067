import { describe, expect, test } from 'vitest';
import {
  toHeardNotes,
  toHeardProportion,
  toHeardStep,
  toPlainName,
} from '../../../src/page/heard/heard-chord.js';
import { keysOf } from '../../support/play.js';
import { Trio } from '../../support/trio.js';
import { frameOf, heardOf } from '../frames.js';

const C = { fifths: 0 };

describe('the sounding chord in the heard tuning', () => {
  test('has names, ratios and cents of the tuning that is sent', () => {
    const notes = heardOf('C4 E4 G4');
    expect(notes.map(({ name, toBass }) => [name, toBass])).toEqual([
      ['C4⁰', '1/1'],
      ['E4⁻¹', '5/4'],
      ['G4⁰', '3/2'],
    ]);
    expect(toHeardProportion(notes, 'anchored')).toBe('4:5:6');
    expect(notes[1].fromEqual - notes[0].fromEqual).toBeCloseTo(-13.686, 2);
  });

  test('has plain names in 12 equal, no ratios, and says how far its intervals are from pure', () => {
    const notes = heardOf('C4 E4 G4', 'equal');
    expect(notes.map(({ name }) => name)).toEqual(['C4', 'E4', 'G4']);
    expect(
      notes.every(
        ({ toBass, fromEqual, by, bend }) => toBass === '' && fromEqual === 0 && !by && bend === null,
      ),
    ).toBe(true);
    expect(toHeardProportion(notes, 'equal')).toBe('');
    expect(toHeardStep(notes[0], notes[1], 'equal').words).toBe('13.7 cents wider than 5/4');
    expect(toHeardStep(notes[1], notes[2], 'equal').words).toBe('15.6 cents narrower than 6/5');
    expect(toHeardStep(notes[0], notes[2], 'equal').words).toBe('2.0 cents narrower than 3/2');
    expect(toHeardStep(notes[0], { ...notes[0], key: 72 }, 'equal').words).toBe('pure: 1/1');
  });

  test('has the places of another strategy where they differ, and no reasons that were not its own', () => {
    const frame = frameOf('C4 E4');
    const lower = frame.notes.map((note) => ({
      ...note,
      elsewhere: { free: [4 + note.point[0], note.point[1] - 4, note.point[2] + 1, 0, 0, 0] as never },
    }));
    const notes = toHeardNotes(lower, 'free', 'anchored', C);
    expect(notes.map(({ name }) => name)).toEqual(['C4⁻¹', 'E4⁻²']);
    expect(notes.map(({ toBass }) => toBass)).toEqual(['1/1', '5/4']);
    expect(notes.every(({ by }) => by === undefined)).toBe(true);
    expect(toHeardNotes(lower, 'pull', 'anchored', C)[1].name).toBe('E4⁻¹');
  });

  test('shows channel and bend of the tuning that is sent, and of no other', () => {
    const { notes } = new Trio().chord(keysOf('C4 E4')).frame();
    expect(toHeardNotes(notes, 'anchored', 'anchored', C)[1].bend).toBe(notes[1].bend);
    expect(toHeardNotes(notes, 'free', 'anchored', C)[1]).toMatchObject({ channel: null, bend: null });
  });
});

test('a plain name has its letter, accidental and octave', () => {
  expect(['E4⁻¹', 'B♭3⁺¹₇', 'C4⁰', 'F♯5'].map(toPlainName)).toEqual(['E4', 'B♭3', 'C4', 'F♯5']);
});
