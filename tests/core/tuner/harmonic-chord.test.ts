import { describe, expect, it } from 'vitest';
import { keysOf, Playing } from '../../support/play.js';

function play(limit: 5 | 7 | 11 | 13, ...chords: string[]): Playing {
  const playing = new Playing({ limit, strategy: 'free' });
  for (const chord of chords) playing.chord(keysOf(chord));
  return playing;
}

/** Exponents of prime 7, from the lowest key up. */
function sevens({ tuner }: Playing): number[] {
  return [...tuner.notes].sort((a, b) => a.key - b.key).map(({ point }) => point[3]);
}

describe('the harmonic chord', () => {
  it.each([
    ['C4 E4 G4 Bb4', '4:5:6:7'],
    ['C4 E4 Bb4', '4:5:7'],
    ['E4 G4 Bb4', '5:6:7'],
    ['E4 G4 Bb4 D5', '5:6:7:9'],
    ['C4 E4 G4 Bb4 D5', '4:5:6:7:9'],
    ['C3 Bb3 E4 G4', '4:7:10:12'],
  ])('%s is %s', (chord, proportion) => {
    expect(play(7, chord).proportion()).toBe(proportion);
  });

  it.each([
    ['no third', 'C4 G4 Bb4'],
    ['no root and no fifth', 'E4 Bb4'],
    ['a minor third', 'C4 Eb4 G4 Bb4'],
    ['a fourth under the seventh', 'C4 E4 F4 G4 Bb4'],
  ])('with %s there is none', (_what, chord) => {
    expect(sevens(play(7, chord)).every((seven) => seven === 0)).toBe(true);
  });

  it('limit 5 knows none', () => {
    expect(sevens(play(5, 'C4 E4 G4 Bb4'))).toEqual([0, 0, 0, 0]);
  });

  it('the eleventh and thirteenth need the whole seventh chord and their limit', () => {
    expect(play(11, 'C4 E4 G4 Bb4 F#5').proportion()).toBe('4:5:6:7:11');
    expect(play(13, 'C4 E4 G4 Bb4 Ab5').tuner.notes.some(({ point }) => point[5] === 1)).toBe(true);
    expect(play(11, 'C4 E4 G4 F#5').tuner.notes.every(({ point }) => point[4] === 0)).toBe(true);
    expect(play(7, 'C4 E4 G4 Bb4 F#5').tuner.notes.every(({ point }) => point[4] === 0)).toBe(true);
  });

  it('a seventh that joins a held triad is pure at once, and nothing held moves', () => {
    const playing = play(7, 'C4 E4 G4');
    const before = keysOf('C4 E4 G4').map((key) => playing.cents(key));
    playing.chord(keysOf('C4 E4 G4 Bb4'));
    expect(playing.proportion()).toBe('4:5:6:7');
    expect(keysOf('C4 E4 G4').map((key) => playing.cents(key))).toEqual(before);
  });

  it('a seventh that is tied alone stays, its double is struck at its pitch, and the chord is built under both', () => {
    const playing = play(7, 'Bb4');
    const before = playing.cents(70);
    playing.chord(keysOf('C4 E4 G4 Bb4 Bb5'));
    expect(playing.proportion()).toBe('4:5:6:7:14');
    expect([playing.cents(70), playing.cents(82) - 1200]).toEqual([before, expect.closeTo(before, 9)]);
  });
});
