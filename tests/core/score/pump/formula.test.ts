import { expect, test } from 'vitest';
import { formatChord, MOST_CHORDS, parseFormula } from '../../../../src/core/score/index.js';
import { formatRatio, type Tonic } from '../../../../src/core/theory/index.js';

const C: Tonic = { keyClass: 0, fifths: 0 };
const D: Tonic = { keyClass: 2, fifths: 2 };

function read(text: string, tonic = C): string {
  const outcome = parseFormula(text, tonic);
  if (!outcome.ok) throw new Error(`${outcome.problem.code}: ${outcome.problem.message}`);
  const { chords, moves } = outcome.value;
  return chords
    .map((chord, i) => {
      const move = moves[i];
      return formatChord(chord) + (move === undefined ? '' : ` ${formatRatio(move)}`);
    })
    .join(' ');
}

test.each([
  ['I vi ii V', 'C Am Dm G'],
  ['I-vi-ii-V-I', 'C Am Dm G'],
  ['I, vi | ii → V', 'C Am Dm G'],
  ['I iii bVI ♭VII #iv', 'C Em A♭ B♭ F♯m'],
  ['V7 IV7 I7', 'G7 F7 C7'],
  ['C Am Dm G C', 'C Am Dm G'],
  ['C Amin D♭ F# Bbm G7', 'C Am D♭ F♯ B♭m G7'],
  ['5/6 4:3 4/3 2/3', 'C 5/6 A 4/3 D 4/3 G 2/3'],
  ['-m3 +P4 P4 -P5', 'C 5/6 A 4/3 D 4/3 G 2/3'],
  ['F 9/8 G C', 'F 9/8 G C'],
  ['G7 10/7 Db7 10/7 G7', 'G7 10/7 D♭7 10/7'],
  ['G7 10/7 Db7 10/7', 'G7 10/7 D♭7 10/7'],
  ['C C Am', 'C C Am'],
])('a pump formula that is understood is read as its chords and moves: %s', (text, chords) =>
  expect(read(text)).toBe(chords),
);

test('a pump formula that is understood begins at the tonic with degrees and bare moves, and at its chord with names', () => {
  expect(read('I vi', D)).toBe('D Bm');
  expect(read('5/4 4/5', D)).toBe('D 5/4 F♯ 4/5');
  expect(read('C Am', D)).toBe('C Am');
});

test.each([
  ['', 'PUMP_SHORT', 'a pump needs at least two chords'],
  ['I', 'PUMP_SHORT', 'a pump needs at least two chords'],
  ['C C', 'PUMP_SHORT', 'a pump needs at least two chords'],
  ['3/2', 'PUMP_SHORT', 'a pump needs at least two chords'],
  ['I vi H V', 'PUMP_TEXT', '"H" is neither a chord nor a move of the root (word 3)'],
  ['I vii° V', 'PUMP_TEXT', '"vii°" is neither a chord nor a move of the root (word 2)'],
  ['I IIII V', 'PUMP_TEXT', '"IIII" is neither a chord nor a move of the root (word 2)'],
  ['Cmaj7 Am', 'PUMP_TEXT', '"Cmaj7" is neither a chord nor a move of the root (word 1)'],
  ['I vi7', 'PUMP_TEXT', '"vi7" is a minor seventh chord, which can be tuned in several ways (word 2)'],
  ['I 17/16 ii', 'RATIO_PRIME', '(word 2)'],
  ['I 1/0 ii', 'RATIO_ZERO', '(word 2)'],
  ['3/2 C G', 'PUMP_TEXT', 'the move 3/2 (word 1) leads from nowhere: there is no chord before it'],
  ['C 3/2 3/2 D', 'PUMP_TEXT', 'the move 3/2 (word 3) leads from nowhere: there is another move before it'],
  ['I vi '.repeat(40), 'PUMP_LONG', `it has 80 chords, at most ${MOST_CHORDS} are taken`],
  ['I '.repeat(400), 'PUMP_LONG', 'it has 800 characters, at most 600 are read'],
])(
  'a pump formula that is not understood is refused with the place and the next step: %s',
  (text, code, message) => {
    const outcome = parseFormula(text, C);
    expect(outcome.ok).toBe(false);
    if (outcome.ok) return;
    expect(outcome.problem.message).toContain(message);
    expect(outcome.problem.code).toBe(code);
    expect(outcome.problem.advice.length).toBeGreaterThan(10);
  },
);

test.each([
  ['C C### G', '"C###" is neither'],
  ['C C#b G', '"C#b" is neither'],
  [`C ${'x'.repeat(30)} G`, `"${'x'.repeat(20)}…" is neither`],
])('%s is refused with the word that is not understood', (text, words) => {
  const outcome = parseFormula(text, C);
  if (outcome.ok) throw new Error('was understood');
  expect(outcome.problem.code).toBe('PUMP_TEXT');
  expect(outcome.problem.message).toContain(words);
});
