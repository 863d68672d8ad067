import { expect, test } from 'vitest';
import { toDerivation } from '../../../src/core/sheet/derivation.js';
import { type SheetNote, toFoundWords } from '../../../src/core/sheet/index.js';
import { type BuiltNote, PUMP } from '../../support/build-midi.js';
import { passageOf } from '../../support/passages.js';

const ORIGIN = { fifths: 0 };

test('reasons that lead out of the passage are named as such, where nothing else shows the comma', () => {
  // From the second bar on C sounds already, and what comes later goes back to the E beside it.
  const notes = PUMP.filter(([start, , key]) => start < 16 || key !== 64);
  const passage = passageOf(notes, { strategy: 'free' }, { from: 2, to: 5 });
  const { figure, lines, moved } = toFoundWords(passage);
  expect(figure).toBe('80/81');
  expect(lines.slice(0, 2)).toEqual([
    'C is C⁰ in chord 1 and C⁻¹ in chord 4.',
    'What leads from the one to the other lies before this passage.',
  ]);
  expect(moved).toEqual(['C: C⁰ → C⁻¹ (chords 1, 4): 80/81']);
});

test('a note that moved for reasons before the passage is shown by its comma alone', () => {
  const notes = PUMP.filter(([start, , key]) => start < 16 || key !== 64);
  const ending = [62, 65, 69].map((key): BuiltNote => [20, 24, key]);
  const { figure, title, moved } = toFoundWords(
    passageOf([...notes, ...ending], { strategy: 'free' }, { from: 2, to: 6 }),
  );
  expect(figure).toBeUndefined();
  expect(title).toBe('The last chord stands where its notes first stood; other notes do not.');
  expect(moved).toEqual(['C: C⁰ → C⁻¹ (chords 1, 4): 80/81, −1 syntonic comma, −21.5 c']);
});

test('a derivation may begin at a note tied into the passage', () => {
  const { columns } = passageOf(PUMP, { strategy: 'free' }, { from: 2, to: 5 });
  const moves = toDerivation(columns, { column: 0, note: 1 }, { column: 3, note: 0 }, ORIGIN)?.moves;
  expect(moves?.map(({ name }) => name)).toEqual(['A⁻¹', 'D⁻¹', 'G⁻¹', 'C⁻¹']);
});

test('a derivation takes a note that comes back from where it was last heard', () => {
  const notes = [60, 62, 64, 60].map((key, i): BuiltNote => [i, i + 1, key]);
  const { columns } = passageOf(notes, { strategy: 'free' });
  expect(columns[3].notes[0].decision).toMatchObject({ presence: 'recalled', isSame: true });
  const first = { column: 0, note: 0 };
  expect(toDerivation(columns, first, { column: 3, note: 0 }, ORIGIN)).toEqual({ start: 'C⁰', moves: [] });
});

test('a derivation through a circle of reasons ends', () => {
  const { columns } = passageOf(PUMP, { strategy: 'free' });
  const last = columns[4];
  const [c, e, g] = last.notes;
  // As if C came from E, and E, as it does, from C.
  const turned: SheetNote = {
    ...c,
    decision: c.decision && { ...c.decision, from: 1 },
    reason: { ...c.reason, deciderPoint: e.point },
  };
  const circle = [...columns.slice(0, 4), { ...last, notes: [turned, e, g] }];
  expect(toDerivation(columns, { column: 0, note: 0 }, { column: 4, note: 0 }, ORIGIN)).toBeDefined();
  expect(toDerivation(circle, { column: 0, note: 0 }, { column: 4, note: 0 }, ORIGIN)).toBeUndefined();
});

/** The pump and the same chords backwards, from the fifth bar on: the comma is lost and won again. */
const THERE_AND_BACK: readonly BuiltNote[] = [
  ...PUMP.map(([start, end, key]): BuiltNote => [start, start === 12 && key === 67 ? 24 : end, key]),
  [20, 28, 62],
  [20, 24, 71],
  [24, 32, 69],
  [24, 28, 65],
  [28, 36, 60],
  [28, 36, 64],
  [32, 36, 67],
];

test.each([
  [{ from: 1, to: 9 }, undefined, 'nothing'],
  [{ from: 5, to: 9 }, '81/80', '1/1, nothing'],
  [{ from: 1, to: 5 }, '80/81', 'nothing'],
])('bars %j lead to the comma %s, and the whole piece to %s', (bars, figure, ofPiece) => {
  const found = toFoundWords(passageOf(THERE_AND_BACK, { strategy: 'free' }, bars));
  expect(found.figure).toBe(figure);
  const lines = found.lines.filter((line) => line.startsWith('Since the piece began'));
  expect(lines).toEqual(
    ofPiece === 'nothing' ? [] : [`Since the piece began the last chord has moved by ${ofPiece}.`],
  );
});
