import Fraction from 'fraction.js';
import { describe, expect, test } from 'vitest';
import { toFoundWords } from '../../../src/core/sheet/index.js';
import { formatRatio, toDeviationCents } from '../../../src/core/theory/index.js';
import { PUMP } from '../../support/build-midi.js';
import { passageOf } from '../../support/passages.js';

/**
 * I vi ii V I with every common note held, worked out by hand. Chord by chord from the lowest note up: the name, the
 * ratio to the lowest note, and the note it is decided by with the interval between the two.
 */
const BY_HAND = [
  'C4⁰, 1/1,  | E4⁻¹, 5/4, 5/4 from C4⁰ | G4⁰, 3/2, 3/2 from C4⁰',
  'C4⁰, 1/1, tied | E4⁻¹, 5/4, tied | A4⁻¹, 5/3, 4/3 from E4⁻¹',
  'D4⁻¹, 1/1, 2/3 from A4⁻¹ | F4⁰, 6/5, 4/5 from A4⁻¹ | A4⁻¹, 3/2, tied',
  'D4⁻¹, 1/1, tied | G4⁻¹, 4/3, 4/3 from D4⁻¹ | B4⁻², 5/3, 5/4 from G4⁻¹',
  'C4⁻¹, 1/1, 2/3 from G4⁻¹ | E4⁻², 5/4, 5/4 from C4⁻¹ | G4⁻¹, 3/2, tied',
].map((chord) => chord.split(' | ').map((note) => note.split(', ')));

describe('the falling pump on a sheet', () => {
  const passage = passageOf(PUMP, { strategy: 'free' });

  test('has every note where it was worked out by hand, with its reason', () => {
    const told = passage.columns.map(({ notes }) =>
      notes.map(({ name, toBass, decision, tiedFrom }) => [
        name,
        toBass,
        decision === undefined
          ? tiedFrom === undefined
            ? ''
            : 'tied'
          : `${formatRatio(decision.interval)} from ${decision.name}`,
      ]),
    );
    expect(told).toEqual(BY_HAND);
  });

  test('has arrows from notes of the same chord, and ties from the same note before', () => {
    const { columns } = passage;
    columns.forEach(({ notes }, i) => {
      for (const { decision, tiedFrom, key } of notes) {
        if (decision?.from !== undefined) expect(notes[decision.from].name).toBe(decision.name);
        if (tiedFrom !== undefined) expect(columns[i - 1].notes[tiedFrom].key).toBe(key);
      }
    });
  });

  test('has chords as proportions, and notes that come back elsewhere marked', () => {
    expect(passage.columns.map(({ proportion }) => proportion)).toEqual(
      '4:5:6 12:15:20 10:12:15 3:4:5 4:5:6'.split(' '),
    );
    const marks = passage.columns.flatMap(({ notes, number }) =>
      notes.flatMap(({ name, returned }) =>
        returned === undefined ? [] : [`${number} ${name} ${formatRatio(returned)}`],
      ),
    );
    expect(marks).toEqual(['4 G4⁻¹ 80/81', '5 C4⁻¹ 80/81', '5 E4⁻² 80/81']);
  });

  test('comes to 80/81, as the product of its moves', () => {
    const { drift, shown, moved } = passage.found;
    expect(formatRatio(drift)).toBe('80/81');
    // Published: every pass of I vi ii V falls by 21.5063 cents (the syntonic comma, 81/80 = 21.50629 c).
    expect(toDeviationCents(drift)).toBeCloseTo(-21.50629, 5);
    expect(moved.map(({ letter, from, to }) => `${letter} ${from} ${to}`)).toEqual([
      'C C⁰ C⁻¹',
      'E E⁻¹ E⁻²',
      'G G⁰ G⁻¹',
    ]);
    expect(shown?.letter).toBe('C');
    const moves = shown?.derivation?.moves ?? [];
    expect(moves.map(({ name, ratio }) => `${formatRatio(ratio)} ${name}`)).toEqual(
      '5/4 E⁻¹, 4/3 A⁻¹, 2/3 D⁻¹, 4/3 G⁻¹, 2/3 C⁻¹'.split(', '),
    );
    // An independent hand multiplies them.
    const product = moves.reduce(
      (all, { ratio }) => all.mul(new Fraction(formatRatio(ratio))),
      new Fraction(1),
    );
    expect(product.toFraction()).toBe('80/81');
  });

  test('is described in words', () => {
    const { figure, title, lines, moved } = toFoundWords(passage);
    expect([figure, title]).toEqual(['80/81', '−1 syntonic comma, −21.5 c']);
    expect(lines).toEqual([
      'C is C⁰ in chord 1 and C⁻¹ in chord 5.',
      'C⁰ –5/4→ E⁻¹ –4/3→ A⁻¹ –2/3→ D⁻¹ –4/3→ G⁻¹ –2/3→ C⁻¹',
      '5/4 · 4/3 · 2/3 · 4/3 · 2/3 = 80/81',
      'As it sounds, the last chord is 21.5 c below home.',
    ]);
    expect(moved).toEqual([
      'C: C⁰ → C⁻¹ (chords 1, 5): 80/81',
      'E: E⁻¹ → E⁻² (chords 1, 5): 80/81',
      'G: G⁰ → G⁻¹ (chords 1, 5): 80/81',
    ]);
  });

  test('has the same ratios when anchored, and the sound stays near home', () => {
    const anchored = passageOf(PUMP, { strategy: 'anchored', leewayCents: 8 });
    expect(anchored.columns.map(({ notes }) => notes.map(({ name }) => name))).toEqual(
      BY_HAND.map((chord) => chord.map(([name]) => name)),
    );
    expect(toFoundWords(anchored).lines.at(-1)).toBe('As it sounds, the last chord is 8.0 c below home.');
  });
});
