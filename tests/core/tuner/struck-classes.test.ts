import { expect, it } from 'vitest';
import { StruckClasses } from '../../../src/core/tuner/places.js';

const notes = (...classes: readonly number[]) => classes.map((keyClass) => ({ keyClass }));

it('counts what is struck by key class, in ascending order, whatever was counted before', () => {
  const struck = new StruckClasses();
  struck.count(notes(7, 0, 7, 11));
  expect([...struck.classes.slice(0, struck.size)]).toEqual([0, 7, 11]);
  expect([...struck.counts]).toEqual([1, 0, 0, 0, 0, 0, 0, 2, 0, 0, 0, 1]);
  struck.count(notes(4));
  expect([...struck.classes.slice(0, struck.size)]).toEqual([4]);
  expect(struck.counts[7]).toBe(0);
});

it('leaves key classes out, but counts their notes', () => {
  const struck = new StruckClasses();
  struck.count(notes(10, 0, 4), [10]);
  expect([...struck.classes.slice(0, struck.size)]).toEqual([0, 4]);
  expect(struck.counts[10]).toBe(1);
});
