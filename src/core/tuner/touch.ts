import type { SoundingNote } from './note.js';

/** How a part has been played of late, as shares from 0 to 1, and what it holds. */
export interface Touch {
  /** Of the notes that the next ones of their lines followed, how many ended only after these were struck. */
  legato: number;
  /** Of all notes held into a strike, how many ended soon after it. */
  sweeping: number;
  /** Its settled notes whose keys are down. */
  readonly held: Set<SoundingNote>;
}
