import type { PrimeVector } from '../core/theory/index.js';
import { type SoundingNote, type Tuner, toCommonDrift } from '../core/tuner/index.js';

/** The last chord of a piece. */
export interface Ending {
  /**
   * The exact drift: the comma product between the last and the first points of its key classes. Most of its notes
   * share it; in a tie it is the lowest note's.
   */
  readonly drift: PrimeVector;
  /** Mean distance of the chord from home, in cents, as if its glides were over. */
  readonly fromHomeCents: number;
}

/**
 * How a piece ended.
 *
 * @param tuner what it was played through, when it is over
 * @param chord everything that could be heard at its last strike; undefined is returned for a piece without a note
 */
export function toEnding(tuner: Tuner, chord: readonly Readonly<SoundingNote>[]): Ending | undefined {
  if (chord.length === 0) return undefined;
  const { home, referenceCents } = tuner.settings;
  let sum = 0;
  for (const note of chord) {
    sum += note.reportedCents - (note.lagCents - note.leanCents) - 100 * note.key - referenceCents;
    sum -= home.deviationCents[note.keyClass];
  }
  const keys = chord.map((note) => note.key).sort((a, b) => a - b);
  return { drift: toCommonDrift(tuner.ledger, keys), fromHomeCents: sum / chord.length };
}
