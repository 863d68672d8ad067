import { expect, test } from 'vitest';
import { SentBook } from '../../../src/io/server/sent-book.js';

test('a note has the velocity it was struck with, the channel it was sent on, and the bend that stands there', () => {
  const book = new SentBook();
  book.strike(90);
  book.begin(7);
  expect(book.of(7)).toEqual({ velocity: 90, channel: null, bend: null });
  book.carry(2);
  expect(book.of(7)).toEqual({ velocity: 90, channel: 2, bend: 8192 });
  book.bend(2, 7631);
  book.bend(3, 1);
  expect(book.of(7)).toEqual({ velocity: 90, channel: 2, bend: 7631 });
  book.end(7);
  expect(book.of(7)).toBeUndefined();
});

test('what is sent after a message that struck nothing is nobody’s', () => {
  const book = new SentBook();
  book.strike(90);
  book.begin(7);
  book.carry(2);
  book.strike(undefined);
  book.carry(5);
  expect(book.of(7)?.channel).toBe(2);
});

test('what was kept goes on, apart from the one it came from', () => {
  const book = new SentBook();
  book.strike(90);
  book.begin(7);
  book.carry(2);
  book.bend(2, 7631);
  const next = new SentBook(structuredClone(book.keep()));
  expect(next.of(7)).toEqual({ velocity: 90, channel: 2, bend: 7631 });
  next.clear();
  expect(next.of(7)).toBeUndefined();
  expect(book.of(7)).toBeDefined();
});
