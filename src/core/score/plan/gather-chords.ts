import type { Rehearsal, RehearsedNote } from './rehearse.js';

/** Most time between fingers of one chord, and from the first to the last. */
const NEXT_FINGER_MS = 60;
const CHORD_MS = 150;
/** A chord sounds this many times as long as it took to strike; notes of a run, released late, don't. */
const TOGETHER = 1.5;

/**
 * Joins strikes that are one chord, spread or rolled over more than a strike window: a plan knows that its notes sound
 * on together. Single notes of a run stay apart.
 *
 * @example the strikes of a chord rolled over 120 ms and held for a second become one, which begins with its first finger
 */
export function gatherChords({ notes, byEnd, strikesMs }: Rehearsal): Rehearsal {
  const chordOf = toChords(notes, strikesMs);
  const chords = chordOf.length === 0 ? 0 : chordOf[chordOf.length - 1] + 1;
  // After the last strike nothing follows.
  const chordAt = (strike: number) => (strike < chordOf.length ? chordOf[strike] : chords);
  const gathered = notes.map((one): RehearsedNote => {
    const strike = chordOf[one.strike];
    // What ended while the chord was being struck doesn't count for it, unless it is of the chord itself.
    const until = Number.isFinite(one.until) ? Math.max(strike + 1, chordAt(one.until)) : one.until;
    return { ...one, strike, until };
  });
  return {
    notes: gathered,
    byEnd: byEnd.map(({ note }) => gathered[note.id]).sort((a, b) => a.until - b.until),
    strikesMs: strikesMs.filter((_, strike) => strike === 0 || chordOf[strike] !== chordOf[strike - 1]),
  };
}

function toChords(notes: readonly RehearsedNote[], strikesMs: readonly number[]): number[] {
  const lastMs = new Float64Array(strikesMs.length).fill(-Infinity);
  const firstOffMs = new Float64Array(strikesMs.length).fill(Infinity);
  for (const { note, strike } of notes) {
    lastMs[strike] = Math.max(lastMs[strike], note.struckMs);
    firstOffMs[strike] = Math.min(firstOffMs[strike], note.releasedMs);
  }
  const chordOf: number[] = [];
  let chord = -1;
  let [beganMs, fellMs, offMs] = [-Infinity, -Infinity, -Infinity];
  strikesMs.forEach((atMs, strike) => {
    const tookMs = lastMs[strike] - beganMs;
    const together = Math.min(offMs, firstOffMs[strike]) - lastMs[strike];
    const joins = atMs - fellMs <= NEXT_FINGER_MS && tookMs <= CHORD_MS && together >= TOGETHER * tookMs;
    if (!joins) {
      chord += 1;
      beganMs = atMs;
      offMs = Infinity;
    }
    chordOf.push(chord);
    fellMs = lastMs[strike];
    offMs = Math.min(offMs, firstOffMs[strike]);
  });
  return chordOf;
}
