/** MIDI keys are 0..127. */
const KEYS = 128;

/** A note in {@link DownNotes}. */
export interface DownNote<Note> {
  /** The key of its note-on, 0..127. */
  readonly key: number;
  /** The key the player struck, 0..127. */
  readonly playedKey: number;
  /** The next of the same played key; undefined while it isn't down. */
  nextDown: Note | undefined;
}

/**
 * The notes of a channel whose note-on still waits for its note-off: at most one of a key, since the note-off of one
 * would stop the other. Found by the key sent and by the key played, at a cost that doesn't grow with their number.
 *
 * @example
 * const down = new DownNotes();
 * down.add({ key: 61, playedKey: 60, nextDown: undefined });
 * down.at(61).playedKey  // 60
 * down.firstOf(60).key   // 61
 */
export class DownNotes<Note extends DownNote<Note>> {
  readonly #sent = new Array<Note | undefined>(KEYS).fill(undefined);
  /** The first one that went down, by the key played: a chain, of one link unless drift has moved the key meanwhile. */
  readonly #played = new Array<Note | undefined>(KEYS).fill(undefined);

  /** The note that was sent on a key; undefined when there is none. */
  at(key: number): Note | undefined {
    return this.#sent[key];
  }

  /** The first of the notes played on a key, in the order they went down; the others are found by `nextDown`. */
  firstOf(playedKey: number): Note | undefined {
    return this.#played[playedKey];
  }

  has(note: Note): boolean {
    return this.#sent[note.key] === note;
  }

  /** Adds a note that goes down on a free key. */
  add(note: Note): void {
    this.#sent[note.key] = note;
    let last = this.#played[note.playedKey];
    if (last === undefined) {
      this.#played[note.playedKey] = note;
      return;
    }
    while (last.nextDown !== undefined) last = last.nextDown;
    last.nextDown = note;
  }

  remove(note: Note): void {
    this.#sent[note.key] = undefined;
    const first = this.#played[note.playedKey]!;
    if (first === note) this.#played[note.playedKey] = note.nextDown;
    else {
      let before = first;
      while (before.nextDown !== note) before = before.nextDown!;
      before.nextDown = note.nextDown;
    }
    note.nextDown = undefined;
  }
}

/** A note between its neighbours in {@link HeardNotes}; both undefined while it is in none. */
export interface ListedNote<Note> {
  before: Note | undefined;
  after: Note | undefined;
}

/**
 * Notes that can be heard, in the order they started. Removing any costs the same, however many there are. A note is in
 * one such list at a time.
 *
 * @example
 * const notes = new HeardNotes();
 * const second = { before: undefined, after: undefined };
 * notes.add({ before: undefined, after: undefined });
 * notes.add(second);
 * notes.remove(second);
 * notes.count  // 1
 */
export class HeardNotes<Note extends ListedNote<Note>> {
  #first: Note | undefined;
  #last: Note | undefined;
  #count = 0;

  /** The one that started first; those that follow are found by its `after`. */
  get first(): Note | undefined {
    return this.#first;
  }

  get last(): Note | undefined {
    return this.#last;
  }

  get count(): number {
    return this.#count;
  }

  add(note: Note): void {
    const last = this.#last;
    note.before = last;
    if (last === undefined) this.#first = note;
    else last.after = note;
    this.#last = note;
    this.#count++;
  }

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

  clear(): void {
    while (this.#first !== undefined) this.remove(this.#first);
  }
}
