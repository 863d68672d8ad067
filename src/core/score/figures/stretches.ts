import type { HeardNote } from './heard-note.js';

/** A note that sounds during a stretch, and its pitch. */
export interface Standing {
  readonly note: HeardNote;
  readonly cents: number;
}

/**
 * Visits a performance stretch by stretch: within one the same notes sound and none of them moves. Silence is left out.
 * `sounding` is reused for the next stretch: copy it to store it.
 *
 * @param notes in the order they were struck
 */
export function forEachStretch(
  notes: readonly HeardNote[],
  visit: (fromMs: number, untilMs: number, sounding: readonly Standing[]) => void,
): void {
  const times = toTimes(notes);
  const sounding: { note: HeardNote; cents: number; next: number }[] = [];
  let begun = 0;
  for (let i = 0; i + 1 < times.length; i++) {
    const fromMs = times[i];
    for (let k = sounding.length - 1; k >= 0; k--)
      if (sounding[k].note.offMs <= fromMs) sounding.splice(k, 1);
    for (; begun < notes.length && notes[begun].onMs <= fromMs; begun++) {
      const note = notes[begun];
      if (note.offMs > fromMs) sounding.push({ note, cents: note.pitch[0].cents, next: 1 });
    }
    for (const one of sounding) {
      const { pitch } = one.note;
      while (one.next < pitch.length && pitch[one.next].atMs <= fromMs) one.cents = pitch[one.next++].cents;
    }
    if (sounding.length > 0) visit(fromMs, times[i + 1], sounding);
  }
}

function toTimes(notes: readonly HeardNote[]): Float64Array {
  const times: number[] = [];
  for (const { offMs, pitch } of notes) {
    times.push(offMs);
    for (const { atMs } of pitch) times.push(atMs);
  }
  const sorted = Float64Array.from(times).sort();
  return sorted.filter((ms, i) => i === 0 || ms > sorted[i - 1]);
}
