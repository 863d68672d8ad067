import type { RowEvent } from '../../core/line/index.js';
import { type SessionMessage, SessionRows } from '../../core/monitor/index.js';

/** Rows that are written between two flushes; then they are flushed early. */
const MOST_ROWS = 4096;

/**
 * What a session tells its viewers, in order. Tuner events and how notes were sent become rows on the note path and
 * nothing more; they go out when the notes have been sent.
 */
export class EventQueue {
  readonly #post: (message: SessionMessage) => void;
  readonly #rows = new SessionRows(MOST_ROWS);
  #isDue = false;
  readonly #flush = (): void => {
    this.#isDue = false;
    this.flush();
  };

  /** @param post takes each message; the arrays in them are its own */
  constructor(post: (message: SessionMessage) => void) {
    this.#post = post;
  }

  /** Something happens to the tuner. Hot path. */
  event(event: RowEvent): void {
    this.#rows.event(event);
    this.#schedule();
  }

  /** A note goes out on a channel. Hot path. */
  noteSent(channel: number): void {
    this.#rows.noteSent(channel);
    this.#schedule();
  }

  /** A bend goes out on a channel. Hot path. */
  bendSent(channel: number, bend: number): void {
    this.#rows.bendSent(channel, bend);
    this.#schedule();
  }

  /** Tells something that is no row, after all rows before it. */
  tell(message: SessionMessage): void {
    this.flush();
    this.#post(message);
  }

  /** Sends the rows so far. */
  flush(): void {
    if (!this.#rows.isEmpty) this.#post({ kind: 'rows', rows: this.#rows.take() });
  }

  #schedule(): void {
    if (this.#rows.isFull) this.flush();
    if (this.#isDue) return;
    this.#isDue = true;
    setImmediate(this.#flush);
  }
}
