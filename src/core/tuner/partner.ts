import { sameClass } from '../theory/index.js';
import type { SoundingNote } from './note.js';
import type { Tuner } from './tuner.js';

/**
 * The common offset at which the harmony is pure to the sounding notes that can't be tuned, in cents: their pitches less
 * their places on the lattice. Several of them seldom agree, being tempered; then it is the mean. At least one sounds.
 *
 * @example
 * const organ = { fixedCents: 6700, key: 67, deviationCents: 1.955 };
 * toFixedOffset({ fixed: new Set([organ]), settings: DEFAULT_SETTINGS })  // -1.955: its G is 3/2 of the others' C
 */
export function toFixedOffset({ fixed, settings }: Pick<Tuner, 'fixed' | 'settings'>): number {
  let sum = 0;
  for (const { fixedCents, key, deviationCents } of fixed)
    sum += fixedCents! - 100 * key - deviationCents - settings.referenceCents;
  return sum / fixed.size;
}

/**
 * Puts the notes that can't be tuned back to their pitch, wherever the offset is. Struck notes that double one of them
 * take its pitch: a unison or an octave that beats is worse than a third that does.
 *
 * @param struck the notes of the open strike, which may still be placed
 */
export function pinFixed({ fixed, offset, settings }: Tuner, struck: readonly SoundingNote[]): void {
  for (const note of fixed) {
    const { fixedCents, key, deviationCents } = note;
    setLag(note, fixedCents! - 100 * key - deviationCents - offset.cents - settings.referenceCents);
  }
  for (const note of struck) {
    if (note.fixedCents !== undefined) continue;
    for (const { keyClass, point, lagCents } of fixed)
      if (keyClass === note.keyClass && sameClass(point, note.point)) setLag(note, lagCents);
  }
}

/** Keeps a note at a distance from the common offset, through glides. */
function setLag(note: SoundingNote, cents: number): void {
  note.lagCents = cents;
  note.lagFromCents = cents;
  note.leanCents = cents;
}
