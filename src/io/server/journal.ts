import type { ToServer } from './protocol.js';
import { ROW_LENGTH } from './rows.js';

/** Rows that are written between two flushes; then they are flushed early. */
const MOST_ROWS = 4096;

/**
 * What a session tells, in order. Rows are written on the note path, into one array and nothing more; they go out when
 * the notes have been sent.
 */
export class Journal {
  readonly #post: (message: ToServer) => void;
  readonly #rows = new Float64Array(MOST_ROWS * ROW_LENGTH);
  #length = 0;
  #isDue = false;
  readonly #flush = (): void => {
    this.#isDue = false;
    this.flush();
  };

  /** @param post takes each message; the arrays in them are its own */
  constructor(post: (message: ToServer) => void) {
    this.#post = post;
  }

  /** Writes a row; see `ROW`. Hot path. */
  write(what: number, atMs: number, a: number, b: number): void {
    const rows = this.#rows;
    const at = this.#length;
    rows[at] = what;
    rows[at + 1] = atMs;
    rows[at + 2] = a;
    rows[at + 3] = b;
    this.#length = at + ROW_LENGTH;
    if (this.#length === rows.length) this.flush();
    if (this.#isDue) return;
    this.#isDue = true;
    setImmediate(this.#flush);
  }

  /** Tells something that isn't a row, after all rows before it. */
  tell(message: ToServer): void {
    this.flush();
    this.#post(message);
  }

  /** Sends what has been written. */
  flush(): void {
    if (this.#length === 0) return;
    const rows = this.#rows.slice(0, this.#length);
    this.#length = 0;
    this.#post({ kind: 'rows', rows });
  }
}
