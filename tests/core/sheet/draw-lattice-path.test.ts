import { expect, test } from 'vitest';
import { overlap, type Shape, toTextBox } from '../../../src/core/drawing/index.js';
import { drawLatticePath } from '../../../src/core/sheet/draw-lattice-path.js';
import { type LatticePath, toLatticePaths } from '../../../src/core/sheet/lattice-path.js';
import type { PrimeVector } from '../../../src/core/theory/index.js';
import { type BuiltNote, PUMP } from '../../support/build-midi.js';
import { numbers } from '../../support/numbers.js';
import { passageOf, textsOf } from '../../support/passages.js';

/** Thirds on each other, each on the one held before it: they go straight up. */
const THIRDS: readonly BuiltNote[] = numbers('0 4 60, 0 8 64, 4 12 68, 8 12 72, 12 16 72');

const sails = (path: LatticePath) =>
  drawLatticePath(path).shapes.filter((shape) => shape.kind === 'path' && shape.stroke === 'none');
const bonds = (path: LatticePath) =>
  drawLatticePath(path).shapes.filter((shape) => shape.kind === 'line' && shape.stroke === '#9a9a9a');

test('triads are shaded, and their notes joined', () => {
  const [path] = toLatticePaths(
    passageOf(
      [60, 64, 67].map((key): BuiltNote => [0, 4, key]),
      { strategy: 'free' },
    ),
  );
  expect(sails(path)).toHaveLength(1);
  expect(bonds(path)).toHaveLength(3);
});

test('triads have no corner in an eleventh, even over a root that is on the drawing', () => {
  const notes: BuiltNote[] = numbers('0 4 60, 0 8 64, 0 8 67, 4 8 78');
  const passage = passageOf(notes, { strategy: 'free' });
  const eleventh: PrimeVector = [-2, 0, 0, 0, 1, 0];
  const columns = passage.columns.map((column) => ({
    ...column,
    notes: column.notes.map((note) => (note.key === 78 ? { ...note, point: eleventh } : note)),
  }));
  const [path] = toLatticePaths({ ...passage, columns });
  expect(path.chords.map((chord) => chord.map(({ name }) => name))).toEqual([
    ['C⁰', 'E⁻¹', 'G⁰'],
    ['E⁻¹', 'G⁰', 'F♯⁰₁₁'],
  ]);
  expect(sails(path)).toHaveLength(1);
  expect(bonds(path)).toHaveLength(4);
});

test('a step straight down goes from edge to edge', () => {
  const [path] = toLatticePaths(passageOf(THIRDS, { strategy: 'free' }));
  const [first] = path.stops;
  const under = { ...first, words: '2', y: first.y + 60, top: first.top + 60, bottom: first.bottom + 60 };
  const { shapes } = drawLatticePath({ ...path, stops: [first, under], order: [0, 1], comma: undefined });
  const line = shapes.find(
    (shape): shape is Extract<Shape, { kind: 'line' }> => shape.kind === 'line' && shape.thick === 2.2,
  );
  expect(line?.from).toEqual([first.x, first.bottom + 1]);
  expect(line?.to).toEqual([first.x, under.top - 1 - 9]);
});

test('the ratio of the comma steps aside from what stands on its line', () => {
  const [path] = toLatticePaths(passageOf(PUMP, { strategy: 'free' }));
  const drawing = drawLatticePath(path);
  const label = textsOf(drawing).find(({ words }) => /^\d+\/\d+$/.test(words));
  if (label === undefined) throw new Error('no ratio');
  expect([...path.nodes, ...path.stops].filter((other) => overlap(toTextBox(label), other))).toEqual([]);
});
