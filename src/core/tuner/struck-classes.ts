import type { Struck } from './joint-choice.js';
import type { SoundingNote } from './note.js';

/** The key classes of the open strike's notes. Counted again and again, so that counting makes nothing. */
export class StruckClasses implements Struck {
  size = 0;
  readonly classes = new Int32Array(12);
  readonly counts = new Int32Array(12);

  /**
   * Counts the notes that aren't settled.
   * @param leftOut key classes that are counted, but don't belong to `classes`
   */
  count(notes: readonly SoundingNote[], leftOut: readonly number[]): void {
    for (let keyClass = 0; keyClass < 12; keyClass++) this.counts[keyClass] = 0;
    this.size = 0;
    for (const { settled, keyClass } of notes) {
      if (settled) continue;
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
