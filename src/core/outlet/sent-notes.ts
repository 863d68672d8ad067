import type { SentNote } from './member.js';

/** A power of two, above the number of notes that commonly sound at a time. */
const BUCKETS = 64;

/**
 * The notes that can be heard, found by their id: a table of short chains. Ids are given in order, so notes that sound
 * together seldom share a chain.
 *
 * @example
 * notes.add(note);
 * notes.find(note.id);  // note
 */
export class SentNotes {
  readonly #chains = new Array<SentNote | undefined>(BUCKETS).fill(undefined);

  /** The note of that id; undefined when there is none. */
  find(id: number): SentNote | undefined {
    let note = this.#chains[toBucket(id)];
    while (note !== undefined && note.id !== id) note = note.next;
    return note;
  }

  /** Adds a note whose id isn't there. */
  add(note: SentNote): void {
    const bucket = toBucket(note.id);
    note.next = this.#chains[bucket];
    this.#chains[bucket] = note;
  }

  /** Takes out a note that is there. */
  remove(note: SentNote): void {
    const bucket = toBucket(note.id);
    let before = this.#chains[bucket]!;
    if (before === note) {
      this.#chains[bucket] = note.next;
      return;
    }
    while (before.next !== note) before = before.next!;
    before.next = note.next;
  }
}

function toBucket(id: number): number {
  return id & (BUCKETS - 1);
}
