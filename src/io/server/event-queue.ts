import type { RowEvent } from '../../core/line/index.js';
import { type SessionMessage, SessionRows } from '../../core/monitor/index.js';

/** Most rows between two flushes; then they are flushed early. */
const MOST_ROWS = 4096;

/**
 * Queues a session's messages to its viewers, in order. On the note path, tuner events and sent notes only become rows;
 * they are posted when the notes have been sent.
 */
export class EventQueue {
  readonly #post: (message: SessionMessage) => void;
  readonly #rows = new SessionRows(MOST_ROWS);
  #isDue = false;
  readonly #flush = (): void => {
    this.#isDue = false;
    this.flush();
  };

  /**
   * @param post takes each message and owns its arrays
   */
  constructor(post: (message: SessionMessage) => void) {
    this.#post = post;
  }

  /** Adds an event of the tuner. Hot path. */
  event(event: RowEvent): void {
    this.#rows.event(event);
    this.#schedule();
  }

  /** Adds a note sent on a channel. Hot path. */
  noteSent(channel: number): void {
    this.#rows.noteSent(channel);
    this.#schedule();
  }

  /** Adds that a note which sounds already starts again: what is sent next is for it. */
  resumed(id: number): void {
    this.#rows.resumed(id);
    this.#schedule();
  }

  /** Adds a bend sent on a channel. Hot path. */
  bendSent(channel: number, bend: number): void {
    this.#rows.bendSent(channel, bend);
    this.#schedule();
  }

  /** Posts a message that is no row, after all rows before it. */
  tell(message: SessionMessage): void {
    this.flush();
    this.#post(message);
  }

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
