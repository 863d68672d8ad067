import type { PrimeVector } from '../core/theory/index.js';
import { type SoundingNote, type Tuner, toCommonDrift } from '../core/tuner/index.js';

/** Where the last chord of a piece stood. */
export interface Ending {
  /**
   * The exact drift: the comma product between where its key classes stood and where they first did. The one most of
   * its notes share; between equals the lowest note's.
   */
  readonly drift: PrimeVector;
  /** How far the chord as a whole stood from home, in cents, glides taken as done. */
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
