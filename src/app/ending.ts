import { type Drift, type SoundingNote, type Tuner, toDrift } from '../core/tuner/index.js';

/** The end of a piece: its drift, and its last chord. */
export interface Ending {
  readonly drift: Drift;
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
  return { drift: toDrift(tuner), fromHomeCents: sum / chord.length };
}
