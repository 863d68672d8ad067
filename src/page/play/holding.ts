import type { Play } from '../../core/protocol/index.js';

/**
 * What holds which key: a finger, a computer key, the mouse. A key goes down with the first that holds it and comes up
 * with the last, so that no note is cut short or left hanging.
 */
export class Holding {
  readonly #keyOf = new Map<string, number>();
  readonly #send: (order: Play) => void;

  constructor(send: (order: Play) => void) {
    this.#send = send;
  }

  /** Keys that are down. */
  get keys(): ReadonlySet<number> {
    return new Set(this.#keyOf.values());
  }

  /** `source` holds `key` from now on, and nothing else; a key out of reach is none. */
  press(source: string, key: number, velocity: number): void {
    if (this.#keyOf.get(source) === key) return;
    this.release(source);
    if (!Number.isInteger(key) || key < 0 || key > 127) return;
    const isNew = !this.keys.has(key);
    this.#keyOf.set(source, key);
    if (isNew) this.#send({ type: 'play', act: 'on', key, velocity });
  }

  /** `source` lets go. */
  release(source: string): void {
    const key = this.#keyOf.get(source);
    if (key === undefined) return;
    this.#keyOf.delete(source);
    if (!this.keys.has(key)) this.#send({ type: 'play', act: 'off', key });
  }

  /** Everything lets go: the page lost the focus, or the link was lost. */
  releaseAll(): void {
    for (const source of [...this.#keyOf.keys()]) this.release(source);
  }
}
