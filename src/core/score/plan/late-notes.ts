import { LATE_SHARE, LETTING_GO_MS } from '../../tuner/index.js';
import type { Rehearsal, RehearsedNote } from './rehearse.js';

/** How long the shortest note of each strike is held, in milliseconds. */
export function toShortest({ notes, strikesMs }: Rehearsal): Float64Array {
  const shortestMs = new Float64Array(strikesMs.length).fill(Infinity);
  for (const { note, strike } of notes)
    shortestMs[strike] = Math.min(shortestMs[strike], note.releasedMs - note.struckMs);
  return shortestMs;
}

/**
 * Whether a note that sounds into a strike is only late to end: soon after it, and after much less time than it sounded
 * before, and than the new notes sound. A short note of a line of its own isn't.
 *
 * @param endMs      when it ends: its key, or what can be heard of it
 * @param atMs       when the strike begins
 * @param shortestMs how long the shortest of the new notes is held
 * @example isLate(note, 1060, 1000, 500)  // true of a note struck at 0
 */
export function isLate({ note }: RehearsedNote, endMs: number, atMs: number, shortestMs: number): boolean {
  const lateMs = endMs - atMs;
  return lateMs <= LETTING_GO_MS && lateMs <= LATE_SHARE * Math.min(atMs - note.struckMs, shortestMs);
}

/** The first strike into which a note isn't held: it has ended by then, or is only late to end. */
export function toHeldUntil(
  one: RehearsedNote,
  { strikesMs }: Pick<Rehearsal, 'strikesMs'>,
  shortestMs: Readonly<Float64Array>,
): number {
  const until = Math.min(one.until, strikesMs.length);
  let strike = one.strike + 1;
  while (strike < until && !isLate(one, one.endedMs, strikesMs[strike], shortestMs[strike])) strike += 1;
  return strike;
}
