import { expect, it } from 'vitest';
import type { SoundingNote } from '../../../src/core/tuner/index.js';
import { StruckClasses } from '../../../src/core/tuner/struck-classes.js';

/** Notes as far as they are counted. */
function notes(...list: readonly [keyClass: number, settled: boolean][]): SoundingNote[] {
  return list.map(([keyClass, settled]) => ({ keyClass, settled }) as SoundingNote);
}

it('counts what is struck by key class, in ascending order, whatever was counted before', () => {
  const struck = new StruckClasses();
  struck.count(notes([7, false], [0, false], [7, false], [4, true], [11, false]), []);
  expect([...struck.classes.slice(0, struck.size)]).toEqual([0, 7, 11]);
  expect([...struck.counts]).toEqual([1, 0, 0, 0, 0, 0, 0, 2, 0, 0, 0, 1]);
  struck.count(notes([4, false]), []);
  expect([...struck.classes.slice(0, struck.size)]).toEqual([4]);
  expect(struck.counts[7]).toBe(0);
});

it('leaves key classes out, but counts their notes', () => {
  const struck = new StruckClasses();
  struck.count(notes([10, false], [0, false], [4, false]), [10]);
  expect([...struck.classes.slice(0, struck.size)]).toEqual([0, 4]);
  expect(struck.counts[10]).toBe(1);
});
