import { sameClass } from '../theory/index.js';
import type { SoundingNote } from './note.js';
import type { Tuner } from './tuner.js';

/** What a note that can't be tuned asks of the others: its pitch, on the scale of MIDI keys, and its place. */
export type FixedNote = Pick<SoundingNote, 'fixedCents' | 'key' | 'deviationCents'>;

/**
 * The common offset at which the harmony is pure to sounding notes that can't be tuned, in cents: their pitches less
 * their places on the lattice. Several of them seldom agree, being tempered; then it is the mean.
 *
 * @param fixed at least one
 * @param referenceCents pitch of A of the others, as cents away from 440 Hz
 * @example
 * const organ = { fixedCents: 6700, key: 67, deviationCents: 1.955 };
 * toFixedOffset([organ], 0)  // -1.955: its G is 3/2 of the others' C
 */
export function toFixedOffset(fixed: Iterable<FixedNote>, referenceCents: number): number {
  let sum = 0;
  let count = 0;
  for (const { fixedCents, key, deviationCents } of fixed) {
    sum += fixedCents! - 100 * key - deviationCents - referenceCents;
    count += 1;
  }
  return sum / count;
}

/**
 * Puts the notes that can't be tuned back to their pitch, wherever the offset is. Struck notes that double one of them
 * take its pitch: a unison or an octave that beats is worse than a third that does.
 *
 * @param struck the notes of the open strike, which may still be placed
 * @param staying the fixed notes that may be doubled
 */
export function pinFixed(
  { fixed, offset, settings }: Tuner,
  struck: readonly SoundingNote[],
  staying: Iterable<SoundingNote> = fixed,
): void {
  for (const note of fixed) {
    const { fixedCents, key, deviationCents } = note;
    setLag(note, fixedCents! - 100 * key - deviationCents - offset.cents - settings.referenceCents);
  }
  for (const note of struck) {
    if (note.fixedCents !== undefined) continue;
    for (const { keyClass, point, lagCents } of staying)
      if (keyClass === note.keyClass && sameClass(point, note.point)) setLag(note, lagCents);
  }
}

/** Keeps a note at a distance from the common offset, through glides. */
function setLag(note: SoundingNote, cents: number): void {
  note.lagCents = cents;
  note.lagFromCents = cents;
  note.leanCents = cents;
}
