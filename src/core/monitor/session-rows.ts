import { decodeEvent, encodeEvent, ROW_LENGTH, type RowEvent } from '../line/index.js';
import type { RoutingListener } from './note-routing.js';

/** First numbers of the rows for sent notes, bends, and notes that start again. */
const NOTE_SENT = -1;
const BEND_SENT = -2;
const NOTE_RESUMED = -3;

/**
 * Records the events of the note path, in order, as rows of numbers in one array: nothing more is done there. They go
 * to viewers when the notes have been sent. Hot path: `event`, `noteSent` and `bendSent` allocate nothing.
 */
export class SessionRows implements RoutingListener {
  readonly #rows: Float64Array;
  #length = 0;

  /** @param most rows there is room for */
  constructor(most: number) {
    this.#rows = new Float64Array(most * ROW_LENGTH);
  }

  get isEmpty(): boolean {
    return this.#length === 0;
  }

  get isFull(): boolean {
    return this.#length === this.#rows.length;
  }

  event(event: RowEvent): void {
    encodeEvent(event, this.#rows, this.#length);
    this.#length += ROW_LENGTH;
  }

  noteSent(channel: number): void {
    this.#write(NOTE_SENT, channel, 0);
  }

  bendSent(channel: number, bend: number): void {
    this.#write(BEND_SENT, channel, bend);
  }

  /** A note that sounded already starts again under this id. */
  resumed(id: number): void {
    this.#write(NOTE_RESUMED, id, 0);
  }

  take(): Float64Array {
    const rows = this.#rows.slice(0, this.#length);
    this.#length = 0;
    return rows;
  }

  #write(what: number, channel: number, value: number): void {
    this.#rows[this.#length] = what;
    this.#rows[this.#length + 2] = channel;
    this.#rows[this.#length + 3] = value;
    this.#length += ROW_LENGTH;
  }
}

/** Reads rows, each as an event or as how a note was sent. Invalid rows are left out. */
export function readRows(
  rows: Float64Array,
  take: (event: RowEvent) => void,
  routing: RoutingListener & { begin(id: number): void },
): void {
  for (let at = 0; at + ROW_LENGTH <= rows.length; at += ROW_LENGTH) {
    if (rows[at] === NOTE_SENT) routing.noteSent(rows[at + 2]);
    else if (rows[at] === BEND_SENT) routing.bendSent(rows[at + 2], rows[at + 3]);
    else if (rows[at] === NOTE_RESUMED) routing.begin(rows[at + 2]);
    else {
      const event = decodeEvent(rows, at);
      if (event !== undefined) take(event);
    }
  }
}

/** For rows whose sent notes and bends don't matter. */
export const UNSENT = { begin() {}, noteSent() {}, bendSent() {} };
