/** Key classes struck together. */
export interface Struck {
  /** How many key classes there are, and which, in ascending order: it doesn't matter which finger landed first. */
  readonly size: number;
  readonly classes: Int32Array;
  /** By key class: how many notes it has. */
  readonly counts: Int32Array;
}

/** The key classes of some notes. Counted again and again, so that counting makes nothing. */
export class StruckClasses implements Struck {
  size = 0;
  readonly classes = new Int32Array(12);
  readonly counts = new Int32Array(12);

  /**
   * Counts notes.
   * @param leftOut key classes that are counted, but don't belong to `classes`
   */
  count(notes: Iterable<{ readonly keyClass: number }>, leftOut: readonly number[] = []): void {
    this.counts.fill(0);
    this.size = 0;
    for (const { keyClass } of notes) {
      this.counts[keyClass]++;
      if (this.counts[keyClass] === 1 && !leftOut.includes(keyClass)) this.#insert(keyClass);
    }
  }

  #insert(keyClass: number): void {
    let at = this.size++;
    for (; at > 0 && this.classes[at - 1] > keyClass; at--) this.classes[at] = this.classes[at - 1];
    this.classes[at] = keyClass;
  }
}
