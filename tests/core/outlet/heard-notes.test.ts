import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type HeardNote, HeardNotes } from '../../../src/core/outlet/member-notes.js';

interface Named extends HeardNote<Named> {
  readonly name: number;
}

function toNames(notes: HeardNotes<Named>): number[] {
  const names: number[] = [];
  for (let note = notes.first; note !== undefined; note = note.after) names.push(note.name);
  return names;
}

it('has the notes that were added and not taken out, in the order they started', () => {
  fc.assert(
    fc.property(fc.array(fc.nat({ max: 7 }), { maxLength: 60 }), (turns) => {
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
    }),
  );
});
