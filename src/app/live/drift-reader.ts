import { toDeviationCents } from '../../core/theory/index.js';
import { type Tuner, toDriftCents, toDriftLeft } from '../../core/tuner/index.js';

/**
 * How far the music is from where it began, and from home; in silence, where the chord was that sounded last.
 *
 * @example
 * const drift = new DriftReader();
 * drift.look(pumpedTuner);
 * drift.leftCents(pumpedTuner)  // -21.51: one falling pump under free
 */
export class DriftReader {
  #keys: readonly number[] = [];
  #fromHomeCents = 0;

  /** Looks at what sounds. Call it now and then, off the note path. */
  look(tuner: Tuner): void {
    const { notes } = tuner;
    if (notes.length === 0) return;
    this.#keys = notes.map(({ key }) => key).sort((a, b) => a - b);
    this.#fromHomeCents = toDriftCents(tuner);
  }

  /** What the commas have moved the pitch by and nothing has given back, in cents. */
  leftCents(tuner: Tuner): number {
    const { drift, backCents } = toDriftLeft(tuner, this.#keys);
    return toDeviationCents(drift) + backCents;
  }

  /** How far the mean of what sounds is from home, in cents. */
  get fromHomeCents(): number {
    return this.#fromHomeCents;
  }
}
