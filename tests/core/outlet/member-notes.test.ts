import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type DownNote,
  DownNotes,
  HeardNotes,
  type ListedNote,
} from '../../../src/core/outlet/member-notes.js';
import { forAll } from '../../support/properties.js';

interface Named extends ListedNote<Named> {
  readonly name: number;
}

function toNames(notes: HeardNotes<Named>): number[] {
  const names: number[] = [];
  for (let note = notes.first; note !== undefined; note = note.after) names.push(note.name);
  return names;
}

test('the notes of a member are those added and not removed, in the order they started', () => {
  forAll([fc.array(fc.nat({ max: 7 }), { maxLength: 60 })], (turns) => {
    const notes = new HeardNotes<Named>();
    const all = Array.from(
      { length: 8 },
      (_, name): Named => ({ name, before: undefined, after: undefined }),
    );
    let there: number[] = [];
    for (const turn of turns) {
      if (there.includes(turn)) notes.remove(all[turn]);
      else notes.add(all[turn]);
      there = there.includes(turn) ? there.filter((name) => name !== turn) : [...there, turn];
      expect([toNames(notes), notes.last?.name, notes.count]).toEqual([there, there.at(-1), there.length]);
    }
    notes.clear();
    expect([toNames(notes), notes.last, notes.count]).toEqual([[], undefined, 0]);
    for (const { before, after } of all) expect([before, after]).toEqual([undefined, undefined]);
  });
});

interface Note extends DownNote<Note> {
  readonly name: number;
}

/** Keys that collide, as sent and as played. */
const key = fc.constantFrom(0, 60, 61, 127);

test('the notes of a member are found by the key sent, and in order by the key played', () => {
  forAll([fc.array(fc.tuple(key, key), { maxLength: 60 })], (turns) => {
    const down = new DownNotes<Note>();
    let there: Note[] = [];
    turns.forEach(([sent, playedKey], name) => {
      const before = down.at(sent);
      expect(before).toBe(there.find((note) => note.key === sent));
      if (before === undefined) {
        const note: Note = { name, key: sent, playedKey, nextDown: undefined };
        down.add(note);
        there.push(note);
      } else {
        down.remove(before);
        there = there.filter((note) => note !== before);
        expect([down.has(before), before.nextDown]).toEqual([false, undefined]);
      }
      const played: Note[] = [];
      for (let note = down.firstOf(playedKey); note !== undefined; note = note.nextDown) played.push(note);
      expect(played).toEqual(there.filter((note) => note.playedKey === playedKey));
      expect(there.every((note) => down.has(note))).toBe(true);
    });
  });
});
