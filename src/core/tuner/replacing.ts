import type { TunerOut } from './events.js';
import { learnHeld, markLeaving, unmark } from './leaving.js';
import type { SoundingNote } from './note.js';
import { placeAgain } from './strike.js';
import type { Tuner } from './tuner.js';

/** Whether notes are held that were there before the open strike: they may still be about to end. */
export function isAwaited({ sounding, guide }: Tuner): boolean {
  if (guide !== undefined) return false;
  return sounding.held > 0;
}

/**
 * A note of the chord before comes up while a strike is open: what was tuned to it is placed again without it, in one
 * soft move, unless that makes nothing purer.
 */
export function placeWithout(tuner: Tuner, note: Readonly<SoundingNote>, atMs: number, out: TunerOut): void {
  const { strike, guide } = tuner;
  if (strike === undefined || guide !== undefined) return;
  if (!placeAgain(tuner, atMs, out)) return;
  const { key, point } = note;
  strike.without = { key, point, afterMs: atMs - strike.atMs };
}

/** No more notes join the strike: what its notes don't follow isn't expected to end any more. */
export function placeWithUnfollowed(tuner: Tuner, atMs: number, out: TunerOut): void {
  if (tuner.strike!.marked.every(({ unsure }) => unsure === 0)) return;
  markLeaving(tuner);
  placeAgain(tuner, atMs, out);
}

/** What was expected to end is still held: it was meant to be, and the strike is placed with it if that is purer. */
export function placeWithHeld(tuner: Tuner, atMs: number, out: TunerOut): void {
  learnHeld(tuner);
  if (unmark(tuner)) placeAgain(tuner, atMs, out);
}
