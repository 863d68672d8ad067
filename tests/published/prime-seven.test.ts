import { describe, expect, test } from 'vitest';
import { keysOf, Playing } from '../support/play.js';

/**
 * Where prime 7 belongs: in the chord that asks for it and nowhere else. That 4:5:6:7 is heard for the dominant seventh
 * is L. Euler's (Conjecture sur la raison de quelques dissonances, 1764); that 8/7 must not stand for a whole tone,
 * nor 64/63 carry on through triads, is common practice.
 */
const HARMONIC = '4:5:6:7';

const sevens = (playing: Playing): number[] => playing.tuner.notes.map(({ point }) => point[3]);

const moved = (keys: readonly number[], by: number): number[] => keys.map((key) => key + by);

describe('chords that stay plain in the 7-limit:', () => {
  test.each([
    ['whole tone', 2, '9/8'],
    ['major third', 4, '5/4'],
    ['minor third', 3, '6/5'],
    ['fourth', 5, '4/3'],
  ])('a bare %s is plain on every key, struck together or one after the other', (_name, size, expected) => {
    for (let root = 48; root < 60; root++) {
      const together = new Playing({ limit: 7, strategy: 'free' }).chord([root, root + size]);
      expect(together.ratio(root + size, root)).toBe(expected);
      const upwards = new Playing({ limit: 7, strategy: 'free' }).chord([root]).chord([root, root + size]);
      expect(upwards.ratio(root + size, root)).toBe(expected);
      const downwards = new Playing({ limit: 7, strategy: 'free' })
        .chord([root + size])
        .chord([root, root + size]);
      expect(downwards.ratio(root + size, root)).toBe(expected);
    }
  });

  test('a bare minor seventh has no prime 7', () => {
    for (let root = 48; root < 60; root++) {
      expect(sevens(new Playing({ limit: 7, strategy: 'free' }).chord([root, root + 10]))).toEqual([0, 0]);
    }
  });
});

describe.each([500, 2000, 4000])('in the 7-limit C, D7, G, C, %i ms a chord,', (holdMs) => {
  const chords = ['C4 E4 G4 C5', 'D4 F#4 A4 C5', 'D4 G4 B4 G5', 'C4 E4 G4 C5'].map(keysOf);

  const ties: [string, number[]][] = [['restruck', []]];
  if (holdMs === 500) ties.push(['with its C tied', [72]]);

  test.each(ties)('has no drift with D7 %s, on any tonic', (_name, tied) => {
    for (let by = -6; by < 6; by++) {
      const playing = new Playing({ limit: 7, strategy: 'free' });
      for (const chord of chords) playing.chord(moved(chord, by), moved(tied, by), holdMs);
      for (let keyClass = 0; keyClass < 12; keyClass++) {
        if (playing.tuner.notes.some((note) => note.keyClass === keyClass))
          expect(playing.returned(keyClass)).toBe('1/1');
      }
      expect(sevens(playing)).toEqual([0, 0, 0, 0]);
    }
  });

  test('have a restruck D7 as 4:5:6:7, and do not bend a tied C for it', () => {
    const playing = new Playing({ limit: 7, strategy: 'free' });
    playing.chord(chords[0], [], holdMs).chord(chords[1], [], holdMs);
    expect(playing.proportion()).toBe(HARMONIC);
    const tied = new Playing({ limit: 7, strategy: 'free' });
    tied.chord(chords[0], [], holdMs);
    const before = tied.cents(72);
    tied.chord(chords[1], [72], holdMs);
    expect(tied.cents(72)).toBe(before);
  });
});

describe.each([500, 2000])('in the 7-limit triads after a harmonic seventh, %i ms a chord,', (holdMs) => {
  test.each([
    ['major', [0, 4, 7]],
    ['minor', [0, 3, 7]],
  ])('are pure and without prime 7 when %s is restruck on every root', (_name, triad) => {
    for (let root = 0; root < 12; root++) {
      const playing = new Playing({ limit: 7, strategy: 'free' }).chord(keysOf('C4 E4 G4 Bb4'), [], holdMs);
      expect(playing.proportion()).toBe(HARMONIC);
      playing.chord(moved(triad, 60 + root), [], holdMs);
      expect(sevens(playing)).toEqual([0, 0, 0]);
      expect(playing.proportion()).toBe(triad[1] === 4 ? '4:5:6' : '10:12:15');
    }
  });
});
