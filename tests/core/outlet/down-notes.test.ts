import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type DownNote, DownNotes } from '../../../src/core/outlet/member-notes.js';

interface Note extends DownNote<Note> {
  readonly name: number;
}

/** Keys that collide, as sent and as played. */
const key = fc.constantFrom(0, 60, 61, 127);

it('finds the notes that are down by the key sent, and in order by the key played', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(key, key), { maxLength: 60 }), (turns) => {
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
    }),
  );
});
