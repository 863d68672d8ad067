import type { Play } from '../../core/protocol/index.js';

/**
 * What holds which key: a finger, a computer key, the mouse. A key goes down with its first holder and comes up with
 * its last, so that no note is cut short or stuck.
 */
export class Holding {
  readonly #keyOf = new Map<string, number>();
  readonly #send: (order: Play) => void;

  constructor(send: (order: Play) => void) {
    this.#send = send;
  }

  get keys(): ReadonlySet<number> {
    return new Set(this.#keyOf.values());
  }

  /** `source` holds only `key` from now on; a key out of range is none. */
  press(source: string, key: number, velocity: number): void {
    if (this.#keyOf.get(source) === key) return;
    this.release(source);
    if (!Number.isInteger(key) || key < 0 || key > 127) return;
    const isNew = !this.keys.has(key);
    this.#keyOf.set(source, key);
    if (isNew) this.#send({ type: 'play', act: 'on', key, velocity });
  }

  release(source: string): void {
    const key = this.#keyOf.get(source);
    if (key === undefined) return;
    this.#keyOf.delete(source);
    if (!this.keys.has(key)) this.#send({ type: 'play', act: 'off', key });
  }

  /** Releases everything: the page lost the focus, or the link was lost. */
  releaseAll(): void {
    for (const source of [...this.#keyOf.keys()]) this.release(source);
  }
}
