/** A note between its neighbours in {@link HeardNotes}; both undefined while it is in none. */
export interface HeardNote<Note> {
  before: Note | undefined;
  after: Note | undefined;
}

/**
 * Notes that can be heard, in the order they started. Any of them is taken out at the same cost, however many there are.
 * A note is in one such order at a time.
 *
 * @example
 * notes.add(first);
 * notes.add(second);
 * notes.remove(second);
 * notes.last  // first
 */
export class HeardNotes<Note extends HeardNote<Note>> {
  #first: Note | undefined;
  #last: Note | undefined;
  #count = 0;

  /** The one that started first; those that follow are found by its `after`. */
  get first(): Note | undefined {
    return this.#first;
  }

  /** The one that started last. */
  get last(): Note | undefined {
    return this.#last;
  }

  get count(): number {
    return this.#count;
  }

  /** A note that isn't there has started. */
  add(note: Note): void {
    const last = this.#last;
    note.before = last;
    if (last === undefined) this.#first = note;
    else last.after = note;
    this.#last = note;
    this.#count++;
  }

  /** Takes out a note that is there. */
  remove(note: Note): void {
    const { before, after } = note;
    if (before === undefined) this.#first = after;
    else before.after = after;
    if (after === undefined) this.#last = before;
    else after.before = before;
    note.before = undefined;
    note.after = undefined;
    this.#count--;
  }

  /** Takes all of them out. */
  clear(): void {
    while (this.#first !== undefined) this.remove(this.#first);
  }
}
