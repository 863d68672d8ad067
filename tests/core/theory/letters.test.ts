import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatPlace, spellKey, toSpelling } from '../../../src/core/theory/index.js';
import { modulo, toLetterKey, toOctave, toPlace } from '../../../src/core/theory/letters.js';
import { forAll } from '../../support/properties.js';

const places = fc.integer({ min: -500, max: 500 });

test.each([
  [-9, 'B♭♭', 'Bbb'],
  [-8, 'F♭', 'Fb'],
  [-2, 'B♭', 'Bb'],
  [-1, 'F', 'F'],
  [0, 'C', 'C'],
  [5, 'B', 'B'],
  [6, 'F♯', 'F#'],
  [8, 'G♯', 'G#'],
  [13, 'F♯♯', 'F##'],
  [47, 'B♯♯♯♯♯♯', 'B######'],
  [48, 'F(7♯)', 'F(7#)'],
  [-50, 'F(7♭)', 'F(7b)'],
])('place %i on the line of fifths is %s', (place, name, ascii) => {
  expect(formatPlace(place)).toBe(name);
  expect(formatPlace(place, { ascii: true })).toBe(ascii);
});

test('the line of fifths goes back from letter and accidental, and agrees with the keys', () => {
  forAll([places], (place) => {
    const spelling = toSpelling(place);
    expect(toPlace(spelling)).toBe(place);
    expect(modulo(toLetterKey(spelling.letter) + spelling.alteration, 12)).toBe(modulo(7 * place, 12));
  });
});

test.each([
  [60, 'C', 0, 4],
  [69, 'A', 0, 4],
  [60, 'B', 1, 3],
  [59, 'C', -1, 4],
  [0, 'C', 0, -1],
  [127, 'G', 0, 9],
  [62, 'B', 3, 3],
])('toOctave puts key %i as %s with %i sharps in octave %i', (key, letter, alteration, octave) => {
  expect(toOctave(key, { letter, alteration })).toBe(octave);
});

describe('spellKey', () => {
  test('gives a tonic its usual twelve notes', () => {
    const twelve = (centre: number) =>
      Array.from({ length: 12 }, (_, key) => spellKey(60 + key, centre)).join(' ');
    expect(twelve(2)).toBe('C C♯ D E♭ E F F♯ G G♯ A B♭ B');
    expect(twelve(0)).toBe('C D♭ D E♭ E F F♯ G A♭ A B♭ B');
    expect(twelve(-3)).toBe('C D♭ D E♭ F♭ F G♭ G A♭ A B♭ C♭');
  });

  test('writes octaves and ASCII', () => {
    expect(spellKey(60, 0, { octave: true })).toBe('C4');
    expect(spellKey(60, 10, { octave: true })).toBe('B♯3');
    expect(spellKey(59, -7, { octave: true })).toBe('C♭4');
    expect(spellKey(70, -1, { octave: true, ascii: true })).toBe('Bb4');
  });

  test('is the right key and within six fifths of the centre', () => {
    forAll([fc.integer({ min: 0, max: 127 }), fc.integer({ min: -30, max: 30 })], (key, centre) => {
      const names = Array.from({ length: 12 }, (_, i) => centre - 5 + i);
      const fitting = names.filter((place) => modulo(7 * place - key, 12) === 0);
      expect(spellKey(key, centre)).toBe(formatPlace(fitting[0]));
    });
  });
});
