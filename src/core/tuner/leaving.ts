import type { SoundingNote } from './note.js';
import type { OpenStrike, Touch, Tuner } from './tuner.js';

/** Farthest distance to a finger's next key, in keys. */
const FARTHEST = 12;
/** With more keys down than hands have fingers, nothing is expected of fingers. */
const MOST_FINGERS = 20;
/** A finger leaves a chord at most this long after the next: a note that ends by then wasn't meant to be held. */
export const LEAVING_MS = 150;
/** A late note has sounded much longer before the strike than into it: otherwise it is a separate line. */
export const LATE_SHARE = 0.4;
/** How fast the touch of a part is learnt: the share of one note. */
const LEARNING = 0.25;
/** From this share on it is expected. */
const EXPECTED = 0.5;

/** The touch of a part. */
export function touchOf({ touches }: Pick<Tuner, 'touches'>, part: number): Touch {
  let touch = touches.get(part);
  if (touch === undefined) {
    touch = { legato: 0, sweeping: 0, held: new Set() };
    touches.set(part, touch);
  }
  return touch;
}

/**
 * Marks the held notes that fingers are expected to leave within a moment. In legato playing they come up only after
 * the next keys are down, so they aren't meant to be tied into the new chord. It is placed as if they had ended.
 *
 * Each new note continues some line, and the note before it leaves: as many as are new, nearest first, youngest first.
 * In a part that changes whole chords at once the others count for little too, as long as more notes may join the
 * strike. All this applies only to parts played legato lately.
 */
export function markLeaving(tuner: Tuner): void {
  const { strike, sounding } = tuner;
  unmark(tuner);
  const leaving = new Set<SoundingNote>();
  for (const part of partsOf(strike!)) {
    const { held, legato, sweeping } = touchOf(tuner, part);
    if (held.size > MOST_FINGERS) continue;
    findFollowed(strike!, part, held, leaving);
    if (legato < EXPECTED) continue;
    for (const note of held) {
      const point = sounding.of(note)!;
      if (leaving.has(note)) point.leaving += 1;
      else if (!strike!.isWaiting && sweeping >= EXPECTED) point.unsure += 1;
      else continue;
      strike!.marked.push(point);
    }
  }
  strike!.leaving = leaving;
}

/** Whether a finger is expected to leave a held note within a moment: a new one follows it, in a part played legato. */
export function isExpectedToEnd({ strike, touches }: Tuner, note: SoundingNote): boolean {
  return strike!.leaving.has(note) && touchOf({ touches }, note.part).legato >= EXPECTED;
}

/** Expects nothing to end any more. @returns whether anything was */
export function unmark({ strike }: Tuner): boolean {
  const { marked } = strike!;
  for (const point of marked) {
    point.leaving = 0;
    point.unsure = 0;
  }
  const { length } = marked;
  marked.length = 0;
  return length > 0;
}

/**
 * Learns the touch of a part from a note held into the open strike.
 * @param endedMs when its key came up; undefined if it is still down
 */
export function learnTouch(tuner: Tuner, note: SoundingNote, endedMs: number | undefined): void {
  const { strike } = tuner;
  if (strike === undefined || !note.settled || note.struckMs >= strike.atMs) return;
  const hasEnded =
    endedMs !== undefined && endedMs - strike.atMs <= LATE_SHARE * (strike.atMs - note.struckMs);
  const touch = touchOf(tuner, note.part);
  if (touch.held.size > MOST_FINGERS) return;
  touch.sweeping += LEARNING * (Number(hasEnded) - touch.sweeping);
  if (strike.leaving.has(note)) touch.legato += LEARNING * (Number(hasEnded) - touch.legato);
}

/** Learns from all notes still held. */
export function learnHeld(tuner: Tuner): void {
  for (const part of partsOf(tuner.strike!)) {
    const { held } = touchOf(tuner, part);
    if (held.size <= MOST_FINGERS) for (const note of held) learnTouch(tuner, note, undefined);
  }
}

function partsOf({ members }: OpenStrike): Set<number> {
  return new Set(members.map(({ part }) => part));
}

/** Finds the held notes of a part that new ones follow. */
function findFollowed(
  { members }: OpenStrike,
  part: number,
  held: ReadonlySet<SoundingNote>,
  leaving: Set<SoundingNote>,
): void {
  const steps: { old: SoundingNote; next: SoundingNote; keys: number }[] = [];
  const struck = members.filter((note) => note.part === part && !note.settled);
  if (struck.length > MOST_FINGERS) return;
  for (const next of struck) {
    for (const old of held) {
      const keys = Math.abs(old.key - next.key);
      if (keys <= FARTHEST) steps.push({ old, next, keys });
    }
  }
  steps.sort((a, b) => a.keys - b.keys || b.old.struckMs - a.old.struckMs || a.old.key - b.old.key);
  const used = new Set<SoundingNote>();
  for (const { old, next } of steps) {
    if (leaving.has(old) || used.has(next)) continue;
    leaving.add(old);
    used.add(next);
  }
}
