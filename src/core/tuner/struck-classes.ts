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
    for (const note of notes) if (!note.settled) this.counts[note.keyClass]++;
    this.size = 0;
    for (let keyClass = 0; keyClass < 12; keyClass++) {
      if (this.counts[keyClass] > 0 && !leftOut.includes(keyClass)) this.classes[this.size++] = keyClass;
    }
  }
}
