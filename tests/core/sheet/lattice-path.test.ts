import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { overlap } from '../../../src/core/drawing/index.js';
import { toLatticePaths } from '../../../src/core/sheet/lattice-path.js';
import { formatRatio, type PrimeVector } from '../../../src/core/theory/index.js';
import { type BuiltNote, PUMP } from '../../support/build-midi.js';
import { passageOf } from '../../support/passages.js';
import { times } from '../../support/properties.js';
import { chords } from './arbitraries.js';

describe('the path of the pump', () => {
  const [path, ...more] = toLatticePaths(passageOf(PUMP, { strategy: 'free' }));
  const node = (name: string) => {
    const found = path.nodes.find((one) => one.name === name);
    if (found === undefined) throw new Error(`${name} isn't there`);
    return found;
  };

  test('is one drawing of all its points, home and end marked', () => {
    expect(more).toEqual([]);
    expect(path.nodes.map(({ name }) => name).sort()).toEqual(
      ['A⁻¹', 'B⁻²', 'C⁰', 'C⁻¹', 'D⁻¹', 'E⁻¹', 'E⁻²', 'F⁰', 'G⁰', 'G⁻¹'].sort(),
    );
    expect(path.nodes.filter(({ isHome }) => isHome).map(({ name }) => name)).toEqual(['C⁰']);
    const ends = path.nodes.filter(({ isEnd }) => isEnd).map(({ name }) => name);
    expect(ends.sort()).toEqual(['C⁻¹', 'E⁻²', 'G⁻¹']);
  });

  test('fifths lie to the right on one height, thirds above', () => {
    expect(node('G⁰').x).toBeGreaterThan(node('C⁰').x);
    expect(node('G⁰').y).toBe(node('C⁰').y);
    expect(node('E⁻¹').y).toBeLessThan(node('C⁰').y);
    expect(node('G⁰').x - node('C⁰').x).toBeCloseTo(node('A⁻¹').x - node('D⁻¹').x, 9);
  });

  test('goes from chord to chord, leftward, to the comma', () => {
    expect(path.stops.map(({ words }) => words)).toEqual(['1', '2', '3', '4', '5 end']);
    expect(path.order).toEqual([0, 1, 2, 3, 4]);
    const xs = path.order.map((at) => path.stops[at].x);
    expect(xs).toEqual(xs.toSorted((a, b) => b - a));
    expect([
      path.comma?.from.name,
      path.comma?.to.name,
      formatRatio(path.comma?.ratio ?? [0, 0, 0, 0, 0, 0]),
    ]).toEqual(['C⁰', 'C⁻¹', '80/81']);
  });
});

test('sevenths have a direction of their own', () => {
  const seventh: BuiltNote[] = [48, 64, 67, 70].map((key) => [0, 4, key]);
  const [path] = toLatticePaths(passageOf(seventh, { strategy: 'free', limit: 7 }));
  const [c, g, seven] = ['C⁰', 'G⁰', 'B♭⁰₇'].map((name) => path.nodes.find((one) => one.name === name));
  expect(seven?.y).toBeGreaterThan(c?.y ?? 0);
  expect(seven?.x).toBeGreaterThan(c?.x ?? 0);
  expect(seven?.x).toBeLessThan(g?.x ?? 0);
});

test.each<[PrimeVector, string, boolean]>([
  [[-2, 0, 0, 1, 0, 0], '↘ seventh 7/4', true],
  [[-3, 0, 0, 0, 1, 0], '11/8 further down right', true],
  [[-3, 0, 0, 0, 0, 1], '13/8 left', false],
])('a path to %j tells that direction, %s, and no other', (point, words, isRight) => {
  const passage = passageOf([[0, 4, 60]], { strategy: 'free' });
  const [column] = passage.columns;
  const [note] = column.notes;
  const [path] = toLatticePaths({ ...passage, columns: [{ ...column, notes: [note, { ...note, point }] }] });
  expect(path.key).toBe(`→ fifth 3/2 · ↑ third 5/4 · ${words}`);
  const [home, other] = path.nodes;
  expect(other.y).toBeGreaterThan(home.y);
  expect(other.x > home.x).toBe(isRight);
});

test('a path of many passes is cut into drawings that go on where the last one ended', () => {
  const passes = Array.from({ length: 8 }, (_, i) =>
    PUMP.map(([start, end, key]): BuiltNote => [start + 20 * i, end + 20 * i, key]),
  ).flat();
  const passage = passageOf(passes, { strategy: 'free' });
  const paths = toLatticePaths(passage);
  expect(paths.length).toBeGreaterThan(1);
  paths.slice(1).forEach((path, i) => {
    expect(path.firstChord).toBeLessThanOrEqual(paths[i].lastChord);
  });
  expect(paths.at(-1)?.lastChord).toBe(passage.columns.length);
});

test('drawings are made as long as each other only where that needs no more of them', () => {
  // A chain of thirds, six of which are as high as a drawing; then from place to place about its end. Two drawings of
  // ten chords each would do, if the first could hold them.
  const notes = [36, 40, 44, 48, 52, 56, 60].map((key, i): BuiltNote => [4 * i, 4 * i + 8, key]);
  const about = Array.from({ length: 13 }, (_, i): BuiltNote[] => [
    [28 + 4 * i, 32 + 4 * i, 64],
    [28 + 4 * i, 32 + 4 * i, i % 2 === 0 ? 60 : 71],
  ]).flat();
  const paths = toLatticePaths(passageOf([...notes, ...about], { strategy: 'free' }));
  expect(paths.map(({ firstChord, lastChord }) => [firstChord, lastChord])).toEqual([
    [1, 7],
    [7, 20],
  ]);
});

test('a number for which there is no room nearby stands further off', () => {
  const passage = passageOf([[0, 4, 60]], { strategy: 'free' });
  const [column] = passage.columns;
  // Pairs of points about one centre, which all their numbers want.
  const columns = Array.from({ length: 16 }, (_, i) => {
    const [threes, fives, sevens] = [(i % 8) - 4, Math.floor(i / 8) + 1, i % 2];
    const points: PrimeVector[] = [
      [0, threes, fives, sevens, 0, 0],
      [0, -threes, -fives, -sevens, 0, 0],
    ];
    return { ...column, number: 1111 + 2 * i, notes: points.map((point) => ({ ...column.notes[0], point })) };
  });
  const [{ stops, nodes }, ...more] = toLatticePaths({ ...passage, columns });
  expect(more).toEqual([]);
  const home = nodes.find(({ isHome }) => isHome)!;
  expect(Math.max(...stops.map(({ y }) => Math.abs(y - home.y)))).toBeGreaterThan(100);
  // And yet among the points.
  for (const stop of stops) expect(stop.bottom).toBeLessThan(Math.max(...nodes.map(({ bottom }) => bottom)));
  const boxes = [...nodes, ...stops];
  expect(boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => overlap(a, b)))).toEqual([]);
});

/** Two of its notes are 39/22 apart, which primes 11 and 13 make of a plain chord: they were drawn on each other once. */
const HIGH_PRIMES = {
  notes: [49, 58, 60, 62, 54, 52, 21, 29].map(
    (key, i): BuiltNote => (i < 6 ? [0, i === 2 ? 2 : 1, key] : [1, 2, key]),
  ),
  limit: 13 as const,
};

test('points and numbers never cover each other', () => {
  fc.assert(
    fc.property(chords(), ({ notes, limit }) => {
      for (const { nodes, stops } of toLatticePaths(passageOf(notes, { strategy: 'free', limit }))) {
        const boxes = [...nodes, ...stops];
        const covered = boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => overlap(a, b)));
        expect(covered).toEqual([]);
      }
    }),
    { numRuns: times(100), examples: [[HIGH_PRIMES]] },
  );
});
