import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  multiply,
  noteName,
  parseNoteName,
  power,
  ratio,
  sameClass,
  toFifths,
  toKeys,
} from '../../../src/core/theory/index.js';
import { forAll } from '../../support/properties.js';
import { vectors } from './help.js';

const C = { fifths: 0 };

describe('noteName', () => {
  test.each([
    [0, '1/1 5/4 3/2', 'C⁰ E⁻¹ G⁰'],
    [0, '1/1 6/5 3/2', 'C⁰ E♭⁺¹ G⁰'],
    // The triad after one falling pump.
    [0, '80/81 100/81 40/27', 'C⁻¹ E⁻² G⁻¹'],
    [0, '1/1 5/4 25/16', 'C⁰ E⁻¹ G♯⁻²'],
    [0, '1/1 4/5 16/25', 'C⁰ A♭⁺¹ F♭⁺²'],
    [0, '1/1 5/4 3/2 7/4', 'C⁰ E⁻¹ G⁰ B♭⁰₇'],
    [0, '16/9 9/8 81/64 9/5', 'B♭⁰ D⁰ E⁰ B♭⁺¹'],
    [0, '8/7 49/32 11/8 13/8', 'D⁰₋₇ A♭⁰₇₍₂₎ F♯⁰₁₁ A♭⁰₁₃'],
    [0, '77/64 11/7 65/64 13/11', 'E⁰₇₊₁₁ G♯⁰₋₇₊₁₁ C⁻¹₁₃ D⁻³ᵈ⁺¹₋₁₁₊₁₃'],
    [-3, '1/1 5/4 3/2', 'E♭⁰ G⁻¹ B♭⁰'],
    [6, '1/1 5/4 3/2', 'F♯⁰ A♯⁻¹ C♯⁰'],
    [-6, '1/1 5/4 3/2', 'G♭⁰ B♭⁻¹ D♭⁰'],
    // A turn of fifths away: three thirds, four minor thirds, twelve fifths. A turn is an octave and 3 commas less a diesis.
    [0, '25/16 125/64 125/96 225/128', 'G♯⁻² C⁰ᵈ⁻¹ F⁰ᵈ⁻¹ A♯⁻²'],
    [0, '36/25 216/125 1296/625', 'G♭⁺² A⁰ᵈ⁺¹ C⁺¹ᵈ⁺¹'],
    [0, '177147/131072 531441/524288', 'F⁺³ᵈ⁻¹ C⁺³ᵈ⁻¹'],
    [0, '15625/4096 78125/65536', 'C⁰ᵈ⁻² E⁻¹ᵈ⁻²'],
    [9, '1/1 125/64', 'D♯⁰ D♯⁰ᵈ⁻¹'],
  ])('round place %i, %s is %s', (fifths, ratios, names) => {
    expect(
      ratios
        .split(' ')
        .map((text) => noteName(ratio(text), { fifths }))
        .join(' '),
    ).toBe(names);
  });

  test('writes octaves, large indices and ASCII', () => {
    expect(noteName(ratio('5/4'), C, { key: 64 })).toBe('E4⁻¹');
    expect(noteName(ratio('7/4'), C, { key: 70, ascii: true })).toBe('Bb4^0_7');
    expect(noteName(ratio('6/5'), C, { ascii: true })).toBe('Eb^+1');
    expect(noteName(ratio('77/64'), C, { ascii: true })).toBe('E^0_7+11');
    expect(noteName(ratio('32/49'), C, { ascii: true })).toBe('E^0_-7(2)');
    expect(noteName(multiply(ratio('5/4'), power(ratio('80/81'), 122)), C)).toBe('E⁻¹²³');
    expect(noteName(ratio('125/64'), C, { ascii: true })).toBe('C^0d-1');
    // Sharps are counted where a tonic has many.
    expect(noteName(ratio('1/1'), { fifths: 48 })).toBe('F(7♯)⁰');
  });

  test('gives a key its octave by its letter', () => {
    // A♯♯ lies on the key of B, and B♯ on that of C.
    expect(noteName(ratio('1/1'), { fifths: 12 }, { key: 72 })).toBe('B♯4⁰');
    expect(noteName(ratio('15/16'), { fifths: -7 }, { key: 58 })).toBe('B♭3⁻¹');
  });
});

describe('parseNoteName', () => {
  test('reads back what noteName writes, in both styles, with octaves', () => {
    forAll(
      [vectors(30), fc.integer({ min: -20, max: 20 }), fc.boolean(), fc.integer({ min: -2, max: 12 })],
      (v, fifths, ascii, octave) => {
        const key = ((((7 * (toFifths(v) + fifths)) % 12) + 12) % 12) + 12 * octave;
        for (const style of [{ ascii }, { ascii, key }]) {
          const name = noteName(v, { fifths }, style);
          const read = parseNoteName(name, { fifths });
          if (!read.ok) throw new Error(`${name}: ${read.problem.message}`);
          expect(sameClass(read.value.point, v), name).toBe(true);
          expect(toKeys(read.value.point) >= 0 && toKeys(read.value.point) < 12).toBe(true);
          expect(read.value.key).toBe('key' in style ? key : undefined);
        }
      },
    );
  });

  test('gives no two points of a class of octaves the same name', () => {
    forAll([vectors(2), vectors(2)], (a, b) => {
      expect(noteName(a, C) === noteName(b, C)).toBe(sameClass(a, b));
    });
  });

  test.each([
    ['E', '81/64', undefined],
    ['E⁻¹', '5/4', undefined],
    ['E^-1', '5/4', undefined],
    ['C4', '1/1', 60],
    ['B♯3', '531441/524288', 60],
    ['Cb-1', '4096/2187', -1],
    ['C(3#)4', '10460353203/8589934592', 63],
    ['Bb4^0_7', '7/4', 70],
    ['A♭⁰₇₍₂₎', '49/32', undefined],
    ['C4⁰ᵈ⁻¹', '125/64', 60],
    ['E^-1d+1_7', '63/25', undefined],
  ])('reads %s', (text, point, key) => {
    const read = parseNoteName(text, C);
    expect(read).toEqual({ ok: true, value: { point: expect.anything(), key } });
    if (read.ok) expect(sameClass(read.value.point, ratio(point))).toBe(true);
  });

  test.each([
    '',
    'H',
    'c',
    'C#b',
    'C^',
    'C^d1',
    'C^0d',
    'C_5',
    'C_711',
    'C_7_7',
    'C⁰⁻',
    '4C',
    'C^0 ',
    'C(#)',
    `C${'#'.repeat(100)}`,
  ])('refuses a wrong name, row %#', (text) => {
    const read = parseNoteName(text, C);
    expect(read.ok ? 'read' : read.problem.code).toBe('NOTE_NAME');
  });
});
