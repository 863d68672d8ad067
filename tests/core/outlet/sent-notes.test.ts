import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createMember, type SentNote } from '../../../src/core/outlet/member.js';
import { SentNotes } from '../../../src/core/outlet/sent-notes.js';
import { forAll } from '../../support/properties.js';

const member = createMember(0);

function toNote(id: number): SentNote {
  const fields = { part: 0, playedKey: 60, key: 60, member, cents: 6000, isClamped: false };
  const links = { before: undefined, after: undefined, nextDown: undefined, next: undefined };
  return { id, ...fields, ...links };
}

test('sent notes are found if they were added and not removed, and no others', () => {
  // Ids that share chains, and ids that don't.
  const ids = fc.uniqueArray(fc.constantFrom(0, 1, 2, 63, 64, 65, 128, 129, 640, 2 ** 31 - 1, 2 ** 40), {
    minLength: 1,
  });
  forAll([ids, fc.array(fc.nat(), { maxLength: 40 })], (known, turns) => {
    const notes = new SentNotes();
    const there = new Map<number, SentNote>();
    for (const turn of turns) {
      const id = known[turn % known.length];
      const note = there.get(id);
      if (note === undefined) {
        const fresh = toNote(id);
        there.set(id, fresh);
        notes.add(fresh);
      } else {
        there.delete(id);
        notes.remove(note);
      }
      for (const each of known) expect(notes.find(each)).toBe(there.get(each));
    }
  });
});

test('all of many sent notes are found, and none of the removed ones', () => {
  const notes = new SentNotes();
  const all = Array.from({ length: 1000 }, (_, i) => toNote(3 * i));
  for (const note of all) notes.add(note);
  expect(all.every((note) => notes.find(note.id) === note)).toBe(true);
  expect(notes.find(1)).toBeUndefined();
  for (const note of all.filter(({ id }) => id % 2 === 0)) notes.remove(note);
  for (const note of all) expect(notes.find(note.id)).toBe(note.id % 2 === 0 ? undefined : note);
});
