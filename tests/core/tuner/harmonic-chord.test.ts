import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { divide, toCents } from '../../../src/core/theory/index.js';
import { keysOf, Playing } from '../../support/play.js';
import { forAll } from '../../support/properties.js';

/** Harmonic chords with root, third and fifth, by their keys, each in the proportion it is to have. */
const WHOLE = [
  ['C4 E4 G4 Bb4', '4:5:6:7'],
  ['C4 E4 G4 Bb4 D5', '4:5:6:7:9'],
  ['G3 C4 E4 Bb4 D5', '3:4:5:7:9'],
  ['Bb3 C4 E4 G4 Bb4', '7:8:10:12:14'],
] as const;
const FIFTH_CENTS = 1200 * Math.log2(3 / 2);

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
  test.each([
    ['C4 E4 G4 Bb4', '4:5:6:7'],
    ['C4 E4 Bb4', '4:5:7'],
    ['E4 G4 Bb4', '5:6:7'],
    ['E4 G4 Bb4 D5', '5:6:7:9'],
    ['C4 E4 G4 Bb4 D5', '4:5:6:7:9'],
    ['C3 Bb3 E4 G4', '4:7:10:12'],
  ])('is found: %s is %s', (chord, proportion) => expect(play(7, chord).proportion()).toBe(proportion));

  test.each([
    ['no third', 'C4 G4 Bb4'],
    ['no root and no fifth', 'E4 Bb4'],
    ['a minor third', 'C4 Eb4 G4 Bb4'],
    ['a fourth under the seventh', 'C4 E4 F4 G4 Bb4'],
  ])('is not found with %s', (_what, chord) => {
    expect(sevens(play(7, chord)).every((seven) => seven === 0)).toBe(true);
  });

  test('does not exist in limit 5', () => expect(sevens(play(5, 'C4 E4 G4 Bb4'))).toEqual([0, 0, 0, 0]));

  test('has an eleventh and thirteenth only with the whole seventh chord and their limit', () => {
    expect(play(11, 'C4 E4 G4 Bb4 F#5').proportion()).toBe('4:5:6:7:11');
    expect(play(13, 'C4 E4 G4 Bb4 Ab5').tuner.notes.some(({ point }) => point[5] === 1)).toBe(true);
    expect(play(11, 'C4 E4 G4 F#5').tuner.notes.every(({ point }) => point[4] === 0)).toBe(true);
    expect(play(7, 'C4 E4 G4 Bb4 F#5').tuner.notes.every(({ point }) => point[4] === 0)).toBe(true);
  });

  test('takes a seventh that joins a held triad as pure at once, and nothing held moves', () => {
    const playing = play(7, 'C4 E4 G4');
    const before = keysOf('C4 E4 G4').map((key) => playing.cents(key));
    playing.chord(keysOf('C4 E4 G4 Bb4'));
    expect(playing.proportion()).toBe('4:5:6:7');
    expect(keysOf('C4 E4 G4').map((key) => playing.cents(key))).toEqual(before);
  });

  test('is built under a tied seventh and its double, which is struck at the same pitch', () => {
    const playing = play(7, 'Bb4');
    const before = playing.cents(70);
    playing.chord(keysOf('C4 E4 G4 Bb4 Bb5'));
    expect(playing.proportion()).toBe('4:5:6:7:14');
    expect([playing.cents(70), playing.cents(82) - 1200]).toEqual([before, expect.closeTo(before, 9)]);
  });

  test.each([
    // D is remembered where it stood, a comma below the ninth of C.
    ['a ninth', ['D4 A4', 'C4 E4 Bb4 D5'], '4:5:7:9'],
    ['a ninth over a fifth', ['D4 F4 A4 C5', 'C4 E4 G4 Bb4 D5'], '4:5:6:7:9'],
    // The tied seventh in two octaves outweighs the root.
    ['a fifth', ['C4 E4 G4 Bb4', 'D4 F4 Bb4', 'Eb4 Gb4 Bb4', 'Bb3 C4 E4 G4 Bb4'], '7:8:10:12:14'],
  ])('%s that the plain seventh would pull a comma off its root is pure', (_what, chords, proportion) => {
    expect(play(7, ...chords).proportion()).toBe(proportion);
  });

  test('remembers its ninth where it was, once the chord is over', () => {
    const playing = play(7, 'D4 A4', 'C4 E4 Bb4 D5');
    const ninth = playing.note(74);
    expect(ninth.deviationCents - playing.note(60).deviationCents).toBeCloseTo(2 * FIFTH_CENTS - 1400, 9);
    playing.chord([]);
    expect(playing.tuner.memory[2]?.point).toEqual(ninth.point);
  });

  test('leaves a tied ninth a comma off its root, and its double is struck beside it', () => {
    // A between them, a fifth from both, leaves E D at 9:16.
    const playing = play(7, 'A4 D5', 'E4 A4 D5', 'C4 E4 Bb4 D5 D6');
    expect(playing.proportion()).toBe('36:45:63:80:160');
    // With G the fifths stay pure, C G D, and the thirds to E give way: then it is no harmonic chord.
    const whole = play(7, 'A4 D5', 'E4 A4 D5', 'C4 E4 G4 Bb4 D5 D6');
    expect(whole.ratio(67, 60)).toBe('3/2');
    expect(whole.ratio(74, 67)).toBe('3/2');
    expect(sevens(whole)).toEqual([0, 0, 0, 0, 0, 0]);
  });

  test('heeds a note outside of it: the ninth stays pure to its sixth', () => {
    const playing = play(7, 'D4 A4', 'C4 E4 Bb4 D5 A5');
    expect(toCents(divide(playing.note(81).point, playing.note(74).point))).toBeCloseTo(FIFTH_CENTS, 9);
  });

  test('is pure when it is struck whole and alone, whatever was heard before', () => {
    forAll(
      [
        fc.array(fc.uniqueArray(fc.integer({ min: 48, max: 84 }), { minLength: 1, maxLength: 5 }), {
          maxLength: 5,
        }),
        fc.constantFrom(...WHOLE),
        fc.integer({ min: -7, max: 7 }),
      ],
      300,
      (before, [chord, proportion], up) => {
        const playing = new Playing({ limit: 7, strategy: 'free' });
        for (const keys of before) playing.chord(keys);
        playing.chord([]).chord(keysOf(chord).map((key) => key + up));
        expect(playing.proportion()).toBe(proportion);
      },
    );
  });
});
