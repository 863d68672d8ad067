import type { SentNote } from './member.js';

/** A power of two, above the number of notes that commonly sound at a time. */
const FIRST_BUCKETS = 64;

/**
 * The notes that can be heard, by id: a hash table of short chains. Ids are given in order, so notes that sound
 * together seldom share a chain. The table doubles when there are more notes than chains.
 *
 * @example
 * const notes = new SentNotes();
 * notes.add({ id: 7, key: 60, next: undefined });
 * notes.find(7).key  // 60
 */
export class SentNotes {
  #chains = new Array<SentNote | undefined>(FIRST_BUCKETS).fill(undefined);
  #count = 0;

  /** The note of that id; undefined when there is none. */
  find(id: number): SentNote | undefined {
    let note = this.#chains[this.#toBucket(id)];
    while (note !== undefined && note.id !== id) note = note.next;
    return note;
  }

  add(note: SentNote): void {
    if (++this.#count > this.#chains.length) this.#grow();
    this.#link(note);
  }

  remove(note: SentNote): void {
    this.#count--;
    const bucket = this.#toBucket(note.id);
    let before = this.#chains[bucket]!;
    if (before === note) {
      this.#chains[bucket] = note.next;
      return;
    }
    while (before.next !== note) before = before.next!;
    before.next = note.next;
  }

  #link(note: SentNote): void {
    const bucket = this.#toBucket(note.id);
    note.next = this.#chains[bucket];
    this.#chains[bucket] = note;
  }

  #grow(): void {
    const before = this.#chains;
    this.#chains = new Array<SentNote | undefined>(2 * before.length).fill(undefined);
    for (const chain of before) {
      for (let note = chain; note !== undefined; ) {
        const { next } = note;
        this.#link(note);
        note = next;
      }
    }
  }

  #toBucket(id: number): number {
    return id & (this.#chains.length - 1);
  }
}
